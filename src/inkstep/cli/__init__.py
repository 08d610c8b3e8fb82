"""The commands: one small file each. Heavy parts are imported where a command runs, so that help answers at once."""
