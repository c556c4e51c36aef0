"""Starts the page server; what it serves and how comes over its input, so that no token is written anywhere."""

import json
import sys

from traitlets.config import Config

from retrofit_lab.app.serve.page_server import PageServer
from retrofit_lab.app.shared.ending import end_with_parent
from retrofit_lab.base.values import InputError

BAD_INPUT = 2


def main() -> int:
    """Serve until asked to end, or until whoever started this is gone."""
    settings = json.loads(sys.stdin.buffer.readline())
    end_with_parent()
    try:
        PageServer.launch_instance(config=Config(settings))
    except InputError as error:
        print(error, file=sys.stderr)  # noqa: T201 - the command's output
        return BAD_INPUT
    return 0


if __name__ == "__main__":
    sys.exit(main())
