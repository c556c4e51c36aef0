"""Runs JupyterLab so that it ends with whoever started it; nothing else."""

import sys

from jupyterlab.labapp import main

from retrofit_lab.app.shared.ending import end_with_parent

if __name__ == "__main__":
    end_with_parent()
    sys.exit(main())
