"""What intake says when it cannot go on."""


class IntakeError(ValueError):
    """A whole source cannot be read; the message says what it is and what to do instead."""


class MalformedMessage(ValueError):
    """One message cannot be read; the rest of its source still can."""
