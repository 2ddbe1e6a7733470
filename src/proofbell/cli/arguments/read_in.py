"""Reads in the modules of a command, and with them all that they import."""

from __future__ import annotations

import gc
import importlib
import sys
from types import ModuleType


def read_in(name: str) -> ModuleType:
    """Import a module without looking for garbage meanwhile: there is none, and Python would look through all again.

    What came with it stays for as long as the program runs, so it is left out of every later look (`gc.freeze`).
    """
    if name in sys.modules or not gc.isenabled():
        return importlib.import_module(name)
    gc.disable()
    try:
        return importlib.import_module(name)
    finally:
        gc.freeze()
        gc.enable()
