"""The log's SQLite file: the only floor that knows the database."""

from vanlife_supply.logbook.book import Act, Logbook

__all__ = ["Act", "Logbook"]
