"""What announces a person's name in a text: greetings, closings, relations, titles, who says what."""

from __future__ import annotations

import re

from triage.language.private_words import WORD

_CAP = r"(?:(?-i:[A-ZÀ-ÞŠŽŁ])[^\W\d_]*(?:['’-][^\W\d_]+)*)"
_INITIAL = r"(?:(?-i:[A-Z])\.? ?)"
_PARTICLE = r"(?:(?-i:de|van|von|der|den|la|le|du|da|al|bin|ap|st\.?) )"
_MORE = rf"(?:[ ]{_INITIAL}(?=[ ,.;\n]|$)|[ ]{_PARTICLE}{{0,2}}{_CAP})"
OPENING = re.compile(
    rf"(?im)^[ \t>*]*(?:hi|hello|hey|hiya|heya|dear|howdy|g'day|greetings|good (?:morning|afternoon|evening|day)"
    rf"|morning|afternoon|evening|yo|hullo|ahoy)"
    rf"(?:[ ]there|[ ]again)?(?P<name>,?[ ](?P<word>{WORD})(?:[ ]{_CAP})*(?:(?:,? (?:and|&|or) |, (?="
    rf"(?-i:[A-Z])[\w'’-]+(?: [A-Z][\w'’-]+)?[,\n])|/)(?P<other>{WORD})(?:[ ]{_CAP})?)?)"
)
_RELATION = (
    "(?:daughter|father|mother|brother|sister|son)[- ]in[- ]law|wife|husband|son|daughter|brother|sister|dad|father"
    "|mum|mom|mother|uncle|aunt|auntie|cousin|nephew|niece|grandson|granddaughter|grandad"
    "|granddad|grandfather|grandmother|grandma|gran|nan|nana|papa|pop|neighbou?r|friend|mate|buddy|pal|boss|manager"
    "|mechanic|colleague|partner"
    "|fianc[eé]e?|girlfriend|boyfriend|tenant|landlord|foreman|groundsman|greenkeeper|greenskeeper|caddie|assistant"
    "|secretary|helper|lad|missus"
    "|daughter[- ]in[- ]law|stepson|stepdad|stepdaughter"
    "|ex|hubby|other half|kid|boy|girl|twin|roommate|carer|caretaker|electrician|tech|technician|customer|client|guy"
    "|chap|bloke|fella|owner|seller"
)
RELATED = re.compile(
    rf"(?i)\b(?:my|our|his|her|their|the|your|a|me|late|old|young|older|younger|eldest|next door)[ ]"
    rf"(?:{_RELATION})s?(?P<name>,?[ ]\(?(?:called |named |is called |is named |is (?=(?-i:[A-Z])))?(?P<word>{WORD})"
    rf"(?:{_MORE})?(?:,? (?:and|or|&) {_CAP})?)"
)
STRONG = re.compile(
    rf"(?i)(?P<cue>\bmy(?: full| first| last)? name(?:'s|’s| is|:)|\bname(?: is|'s|:)|\bask(?:ing)? for|\bspeak"
    rf"(?:ing)? (?:to|with)|\bspoke (?:to|with)|\btalk(?:ed|ing)? (?:to|with)"
    rf"|\bcall me|\battn:?|\battention(?: of)?:?|\bc/o|\bcontact(?: name| person)?:?|\bsigned:?,?|\bregistered to"
    rf"|\bbelong(?:s|ed) to|\bin the name of|\bunder the name(?: of)?"
    rf"|\bcare of|\bregards to|\bcopy to|\bcc:?|\bthe attention of|\bmarried to|\bon behalf of|\bsold (?:it )?to"
    rf"|\bbought (?:it )?(?:off|from)|\bcustomer:|\bcaller:|\bfrom:"
    rf"|\b(?:can|could|would|did|will|has|is) (?=(?-i:[A-Z][a-z]+) (?:call|ring|phone|be|say|tell|have|get|come|help"
    rf"|look|still))|\bgot it (?:off|from)"
    rf"|\btold|\btell|\bthank|\bmet|\bemail(?:ed)?|\bwritten by|\b(?:served|wired|fitted|done|sent|mended|repaired"
    rf"|fixed|installed|serviced|driven|owned|built) by|\bmessages? (?:with|for)|\bmyself[:,]?|\b(?:called|named"
    rf"|nicknamed)|\bphoned)"
    rf"[ ](?P<name>(?P<word>{WORD})(?:{_MORE}){{0,3}}(?:,? (?:and|or|&) {_CAP})?)"
)
SELF = re.compile(
    rf"(?i)\b(?:i'm|i’m|im|i am|this is|it's|it’s|its|here is|we are|we're)[ ](?P<name>(?P<word>{WORD})"
    rf"(?:{_MORE}){{0,3}})"
)
TITLED = re.compile(
    rf"\b(?:Mr|Mrs|Ms|Miss|Dr|Rev|Prof|Sgt|Capt|Col|Mx|Messrs|Sir|Lady|Lord|MR|MRS|Captain|Canon|Sergeant|Reverend"
    rf"|Father|Sister|Colonel|Major|Lieutenant|Professor|Doctor|Corporal|Councillor|Widow|Coach|Chef)\.?[ ]"
    rf"(?P<name>{_INITIAL}*{_PARTICLE}{{0,2}}(?P<word>{_CAP})(?:{_MORE}){{0,2}})|(?i:\bmrs?\.? )(?P<low>{WORD})"
)
SAYS = re.compile(
    rf"(?<=[a-z,;] )(?P<name>(?P<word>{_CAP})(?:{_MORE})?) (?:says|said|reckons?|told|thinks|thought|mentioned"
    rf"|suggested|swears|from (?:your|the) (?:shop|workshop|place|office|counter))\b"
)
INITIALED = re.compile(
    r"(?<![\w.])(?<!\d )(?P<name>(?:[A-Z]\. ?){1,3}(?P<word>(?-i:[A-Z])[a-z'’]+(?:-[A-Z][a-z]+)?))(?=[\s,.;:!?)'’]"
    r"|$)"
)
_CLOSING = (
    r"(?:many thanks|thanks(?: again| so much| a lot| in advance| for [^\n,.!]{2,40}| very much| a million| a"
    r" bunch)?|thank you(?: very much| so much)?|thx|ta|cheers|(?:kind|best|warm|kindest|warmest)?[ ]?(?:regards"
    r"|wishes)"
    r"|yours(?: sincerely| faithfully| truly)?|sincerely|respectfully|all the best|best|cordially|rgds|br|kr|love"
    r"|have a (?:good|nice|great) (?:day|one|weekend)"
    r"|take care|god bless|much appreciated|tia|later|bye|yours)(?![^\W_])"
)
SIGNED = re.compile(
    rf"(?im)(?:^|(?<=[.!?,;] )|(?<=[.!?] ))[ \t]*{_CLOSING}"
    rf"(?P<name>[ \t]*[,.!–—-]*[ \t]*\n?[ \t]*[-–—~]?[ ]?(?P<word>{WORD})(?P<rest>(?:[ ]{_INITIAL}|[ ](?:and"
    rf"|&)[ ]{WORD}|[ ]{_PARTICLE}{{0,2}}{WORD}){{0,3}}))[.! \t]*(?=\n|$)"
)
DASHED = re.compile(
    rf"(?m)(?:^|[.!?)\w][ \n])[ \t]*(?P<name>[-–—~]{{1,2}}[ ]?(?P<word>{_CAP})(?:{_MORE}){{0,3}})[.! \t]*\Z"
)
LAST_LINE = re.compile(rf"(?m)\n[ \t]*(?P<name>(?P<word>{_CAP})(?:{_MORE}){{0,2}})[.,! \t]*(?=\n*\Z)")
SURNAME = re.compile(_MORE)
PAIR = re.compile(
    rf"(?<=[a-z,;(] )(?<!\b(?:a|i) )(?<!\ban )(?<!\b(?:the) )(?<!\bthis )(?<!\b(?:my) )(?<!\b(?:our) )(?<!\byour )"
    rf"(?P<name>(?P<word>{_CAP})(?:{_MORE}){{1,2}})"
)
# a capital within a sentence on a word that no text of the pack has; not behind a word that places or things follow
ALONE = re.compile(
    rf"(?<=[\w,;()] )(?<![.!?] )(?<!\b(?:in|at|to|on|of|an|my|no|by) )(?<!\b(?:the|our|his|her|its|via) )(?<!\b"
    rf"(?:near|from|your|this|that|with|type|make|size) )(?<!\b(?:their|model|brand) )(?<!\ba )(?P<name>"
    rf"(?P<word>{_CAP}))(?!\w| ?\d)"
)
LAST_WORD = re.compile(rf"(?<=[.!?] )(?P<name>(?P<word>{_CAP}))[.! ]*\Z")
HERE = re.compile(rf"(?m)(?:^|[,.!?;] )(?P<name>(?P<word>{_CAP})(?:{_MORE})?) here(?: again| from|[,.!])")
FOLLOWED = re.compile(
    r"(?:'s|’s)?,? (?:says|said|told|reckons|thinks|thought|from|at|and I|and me|can|will|would|could|asked|wants"
    r"|wanted|bought|called|rang|here|has a|helped)\b"
)


ACTS = re.compile(
    r"(?:'s|’s)?,? (?:says|said|told|reckons|thinks|thought|at (?=[A-Z])|and I|and me|can|will|would|could|asked"
    r"|wants|wanted)\b"
)
