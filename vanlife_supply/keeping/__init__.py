"""What was done: record, take back, mend, settle; files in and out in `trade` and `files`. Never touches a forecast.

What a logging command needs is here at hand; `keeping.trade` (log.csv) and `keeping.files` (backup, restore, merge)
are imported by those who want them.
"""

from vanlife_supply.keeping.acts import find, mend, mended, of_a_void, record, settle, settled, undo, void
from vanlife_supply.keeping.asking import noted
from vanlife_supply.keeping.minding import laden, load_aboard, strange
from vanlife_supply.keeping.present import is_behind, now_of, plans, standing, told_here
from vanlife_supply.keeping.rigs import adopt, change_rig, load_rig, set_up, set_zone

__all__ = [
    "adopt", "change_rig", "find", "is_behind", "laden", "load_aboard", "load_rig", "mend", "mended", "noted",
    "now_of", "of_a_void", "plans", "record", "set_up", "set_zone", "settle", "settled", "standing", "strange",
    "told_here", "undo", "void",
]  # fmt: skip
