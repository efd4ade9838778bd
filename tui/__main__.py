"""``python -m pelmet.tui`` is ``pelmet``."""

import sys

from pelmet.tui.command import main

sys.exit(main())
