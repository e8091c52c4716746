#!/usr/bin/env python
"""Django's command line for Tieoff: `python manage.py help` lists the commands."""

import os
import sys

from django.core.management import execute_from_command_line

if __name__ == "__main__":
    # Our matrices are small: several threads for one would only wait for each other. Before numpy is loaded; what is
    # started from here takes it over.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "config.settings")
    execute_from_command_line(sys.argv)
