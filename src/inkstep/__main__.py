"""`python -m inkstep` is `inkstep`."""

import sys

from inkstep.cli.main import main

sys.exit(main())
