"""Cells and houses, puzzles and everything that is wrong with them, solving and counting, symmetry."""
