"""The recording of a solve: strokes, the sheet that holds them, the pages they make, what the marks claim."""
