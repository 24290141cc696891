"""The schema as an append-only list of small named steps. Never edit a step that was released: add one."""

from __future__ import annotations

from collections.abc import Callable

from sqlite_utils import Database

Migration = Callable[[Database], None]

APPLICATION_ID = 0x71A6E001  # marks the file as ours (www.sqlite.org/pragma.html#pragma_application_id)


def m001_migrations(db: Database) -> None:
    """The record of what ran, and the mark that the file is ours."""
    db.execute("create table migrations (name text primary key, applied_at text not null)")
    db.execute(f"pragma application_id = {APPLICATION_ID}")


def m002_people_and_threads(db: Database) -> None:
    """Who asks, and the conversations, with the columns the queue sorts by."""
    db.execute("create table people (id integer primary key, name text not null, email text not null)")
    db.execute("create unique index people_email on people (email) where email != ''")
    db.execute("create unique index people_name on people (name) where email = ''")
    db.execute(
        """create table threads (
            id integer primary key,
            asker integer not null references people (id),
            subject text not null,
            state text not null,
            danger integer not null,
            decision text,
            vehicle text not null default '',
            wrong text not null default '',
            missing text not null default '[]',
            outcome text not null default '',
            waiting_since text not null,
            opened_at text not null,
            message_count integer not null default 0,
            apart integer not null default 0,
            merged_into integer references threads (id)
        )"""
    )
    db.execute("create index threads_queue on threads (danger, waiting_since, id) where merged_into is null")
    db.execute("create index threads_state on threads (state) where merged_into is null")
    db.execute("create index threads_asker on threads (asker)")
    db.execute("create index threads_merged on threads (merged_into) where merged_into is not null")


def m003_messages(db: Database) -> None:
    """Messages by their text parts and headers; the raw bytes lie in a table of their own."""
    db.execute(
        """create table messages (
            row integer primary key,
            id text not null unique,
            header_id text not null,
            digest text not null,
            thread integer not null references threads (id),
            asker integer not null references people (id),
            channel text not null,
            sender_email text not null,
            sender_name text not null,
            subject text not null,
            subject_key text not null,
            sent text,
            at text not null,
            taken_in_at text not null,
            text text not null,
            quoted text not null,
            forwarded text not null,
            signature text not null,
            automatic text not null,
            headers text not null,
            unique (header_id, digest)
        )"""
    )
    db.execute("create index messages_thread on messages (thread, at)")
    db.execute(
        """create index messages_subject on messages (subject_key, sender_email)
           where subject_key != ''"""
    )
    db.execute(
        """create table raw (
            message integer primary key references messages (row), bytes blob not null
        )"""
    )


def m004_message_ids(db: Database) -> None:
    """Every Message-ID seen or referred to, and its one thread; known = 0 while only referred to."""
    db.execute(
        """create table message_ids (
            header_id text primary key,
            thread integer not null references threads (id),
            known integer not null
        ) without rowid"""
    )
    db.execute("create index message_ids_thread on message_ids (thread)")


def m005_rejected(db: Database) -> None:
    """What could not be taken in."""
    db.execute(
        """create table rejected (
            digest text primary key, source text not null, reason text not null,
            bytes blob not null, at text not null
        )"""
    )


def m006_questions_and_readings(db: Database) -> None:
    """What was asked, and what was read from it; readings are kept, the highest round is the present one."""
    db.execute(
        """create table questions (
            id text primary key, thread integer not null references threads (id),
            message text not null, position integer not null, text text not null,
            subject text not null, asker text not null, offset integer not null
        )"""
    )
    db.execute("create index questions_thread on questions (thread)")
    db.execute(
        """create table readings (
            id integer primary key, thread integer not null references threads (id), round integer not null,
            question text not null, reading text not null, pack_digest text not null,
            by text not null, at text not null
        )"""
    )
    db.execute("create index readings_thread on readings (thread, round)")


def m007_facts(db: Database) -> None:
    """Facts set by a person (a null value withdraws), and the look-up table the filters use."""
    db.execute(
        """create table facts_set (
            id integer primary key, thread integer not null references threads (id), round integer not null,
            vehicle integer not null, name text not null, fact text, by text not null, at text not null
        )"""
    )
    db.execute("create index facts_set_thread on facts_set (thread, vehicle, name)")
    db.execute(
        """create table facts (
            thread integer not null references threads (id), vehicle integer not null,
            name text not null, value text not null, primary key (thread, vehicle, name, value)
        ) without rowid"""
    )
    db.execute("create index facts_value on facts (name, value, thread)")


def m008_drafts_and_replies(db: Database) -> None:
    """Every saved version of a draft, and what was sent or told."""
    db.execute(
        """create table drafts (
            id integer primary key, thread integer not null references threads (id),
            draft text not null, by text not null, at text not null
        )"""
    )
    db.execute(
        """create table replies (
            id integer primary key, thread integer not null references threads (id),
            subject text not null, text text not null, how text not null, message_id text not null,
            by text not null, at text not null
        )"""
    )
    db.execute("create index drafts_thread on drafts (thread)")
    db.execute("create index replies_thread on replies (thread)")


def m009_history(db: Database) -> None:
    """Who did what, when; the database itself refuses to change what was written."""
    db.execute(
        """create table history (
            id integer primary key, thread integer references threads (id),
            at text not null, by text not null, what text not null,
            before text not null, after text not null, undoes integer references history (id)
        )"""
    )
    db.execute("create index history_thread on history (thread, id)")
    db.execute("create unique index history_undoes on history (undoes) where undoes is not null")
    for action in ("update", "delete"):
        db.execute(
            f"""create trigger history_no_{action} before {action} on history
            begin select raise(abort, 'history is append-only: add an entry instead'); end"""
        )


def m010_words(db: Database) -> None:
    """Full-text search over subject, text and asker; triggers keep it in step."""
    columns = ["subject", "text", "sender_name", "sender_email"]
    db.table("messages").enable_fts(columns, create_triggers=True, tokenize="porter unicode61")


def m011_settings(db: Database) -> None:
    """Small named values of the shop, such as the last mail seen of a mailbox."""
    db.execute("create table settings (name text primary key, value text not null) without rowid")


def m012_prior_contact(db: Database) -> None:
    """Ways to find what the same person asked before: by the address written from, or that answers go to."""
    db.execute("create index messages_sender on messages (sender_email) where sender_email != ''")
    db.execute("create index messages_reply_to on messages (json_extract(headers, '$.reply_to.email'))")


def m013_changes_to_drafts(db: Database) -> None:
    """Which draft a reply was made from, and what a person changed in it."""
    db.execute("alter table replies add column draft integer references drafts (id)")
    db.execute("alter table replies add column changed text not null default ''")


def m014_mailboxes(db: Database) -> None:
    """The mailboxes and folders the shop named, how far each was read, and which drafts were laid in them."""
    db.execute("create table mailboxes (name text primary key, settings text not null) without rowid")
    db.execute(
        """create table mailbox_folders (
            mailbox text not null, folder text not null, uidvalidity integer not null, uid_next integer not null,
            primary key (mailbox, folder)
        ) without rowid"""
    )
    db.execute(
        """create table mailbox_drafts (
            mailbox text not null, thread integer not null references threads (id), digest text not null,
            state text not null, primary key (mailbox, thread)
        ) without rowid"""
    )
    db.execute("create index mailbox_drafts_thread on mailbox_drafts (thread)")
    db.execute("create table files_seen (digest text primary key, name text not null, at text not null) without rowid")


def m015_together(db: Database) -> None:
    """Who is at which thread. Not part of the history: it passes by itself."""
    db.execute(
        """create table claims (
            thread integer primary key references threads (id), person text not null,
            since text not null, until text not null
        )"""
    )


def m016_staff(db: Database) -> None:
    """Who may sign in at the workbench, and the keys that sign its cookies."""
    db.execute(
        """create table staff (
            name text primary key, role text not null, password text not null, added text not null
        ) without rowid"""
    )
    db.execute("create table keys (name text primary key, key text not null) without rowid")


def m017_programmes(db: Database) -> None:
    """The weekly programmes: plan, wishes, what was said; and whose first name may be said.

    Whatever belongs to an asker is a row that refers to the thread, so that it is forgotten with them.
    """
    db.execute(
        """create table programmes (
            day text primary key, minutes real not null, reserve real not null, opening text not null,
            tip text not null, closing text not null, worth real not null, note text not null,
            aired integer not null default 0, clock text not null default '', by text not null, at text not null
        ) without rowid"""
    )
    db.execute(
        """create table programme_questions (
            row integer primary key, day text not null, thread integer not null references threads (id),
            place integer not null default 0, minutes real not null, locked integer not null default 0,
            spare integer not null default 0, reason text not null, candidate text not null
        )"""
    )
    db.execute(
        """create table programme_wishes (
            row integer primary key, day text not null, thread integer not null references threads (id),
            wish text not null, why text not null, by text not null, at text not null
        )"""
    )
    db.execute(
        """create table programme_said (
            row integer primary key, day text not null, thread integer references threads (id), how text not null,
            note text not null, words text not null, seconds real not null, by text not null, at text not null
        )"""
    )
    db.execute(
        """create table names_agreed (
            thread integer primary key references threads (id), yes integer not null,
            by text not null, at text not null
        )"""
    )
    for table in ("programme_questions", "programme_wishes", "programme_said"):
        db.execute(f"create index {table}_day on {table} (day)")


def m018_proposals(db: Database) -> None:
    """Proposals for the answer base. What was said stands in rows that refer to its thread: forgotten with it."""
    db.execute(
        """create table proposals (
            id integer primary key, kind text not null, state text not null, before text not null,
            after text not null, lines text not null, askers integer not null, authors text not null,
            hazards text not null, made text not null, reason text not null, agreed text not null,
            by text not null, at text not null
        )"""
    )
    db.execute("create index proposals_state on proposals (state)")
    db.execute(
        """create table proposal_said (
            row integer primary key, proposal integer not null, line integer not null,
            thread integer references threads (id), origin text not null, place text not null,
            first integer, last integer, text text not null
        )"""
    )
    db.execute(
        """create table proposal_threads (
            row integer primary key, proposal integer not null, thread integer not null references threads (id)
        )"""
    )
    for table in ("proposal_said", "proposal_threads"):
        db.execute(f"create index {table}_proposal on {table} (proposal)")
        db.execute(f"create index {table}_thread on {table} (thread)")
    db.execute(
        """create table proposals_looked_at (
            thread integer primary key references threads (id), replies integer not null
        )"""
    )


MIGRATIONS: tuple[Migration, ...] = (
    m001_migrations, m002_people_and_threads, m003_messages, m004_message_ids, m005_rejected,
    m006_questions_and_readings, m007_facts, m008_drafts_and_replies, m009_history, m010_words, m011_settings,
    m012_prior_contact, m013_changes_to_drafts, m014_mailboxes, m015_together, m016_staff,
    m017_programmes, m018_proposals,
)  # fmt: skip
