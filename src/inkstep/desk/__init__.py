"""The desk: the local web application in which a presenter logs a solve, reads it, plans its lesson and publishes it."""
