"""Alembic migrations, inside the package so that an installed program can upgrade its database."""
