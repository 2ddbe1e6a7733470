"""``python -m proofbell``: the command line, where the ``proofbell`` script is not on the path."""

import sys

from proofbell.cli import main

if __name__ == "__main__":
    sys.exit(main())
