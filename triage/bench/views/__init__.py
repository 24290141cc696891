"""View models: frozen values made of a thread, a reading and a pack, ready for a template. Pure."""
