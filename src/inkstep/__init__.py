"""Inkstep turns a recorded sudoku solve into an explained lesson."""

__version__ = "0.1.0"
