"""The archive of solves: logs with every edit, plans, choices, jobs; SQLite by default, PostgreSQL by its address."""
