"""``python -m pelmet.tui`` is ``pelmet``."""

import sys

from pelmet.tui.command.main import main

sys.exit(main())
