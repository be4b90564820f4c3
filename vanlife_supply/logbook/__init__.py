"""The log's SQLite file: the only floor that knows the database."""

from vanlife_supply.logbook.book import Act, Logbook, copy_log, rig_of

__all__ = ["Act", "Logbook", "copy_log", "rig_of"]
