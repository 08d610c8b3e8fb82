"""One module a command: HELP, EXAMPLE, `add_arguments`, `run`; the docstring is the command's description."""
