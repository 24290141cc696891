"""The workbench: web pages, made on the server, where support staff clear the queue."""
