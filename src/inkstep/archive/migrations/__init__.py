"""The steps from every earlier form of the archive to the present one, run by Alembic."""
