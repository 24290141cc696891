"""Facts that cannot all be true."""
