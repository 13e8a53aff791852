"""``python -m glidewright`` is the command ``glidewright``."""

import sys

from glidewright.faces.cli.main import main

sys.exit(main())
