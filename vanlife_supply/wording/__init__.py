"""How values are said: one voice for the app, the text output, the JSON texts and the town sheet."""

from vanlife_supply.wording.days import days_json, days_text
from vanlife_supply.wording.sentence import sentence

__all__ = ["days_json", "days_text", "sentence"]
