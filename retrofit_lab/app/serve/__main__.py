"""Starts the page server; what it serves and how comes from its settings file."""

import signal

from retrofit_lab.app.serve.page_server import PageServer

if __name__ == "__main__":
    # Ctrl-C reaches this process too; the command that started it ends it in order
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    PageServer.launch_instance()
