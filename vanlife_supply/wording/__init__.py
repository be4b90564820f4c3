"""How values are said: one voice for the app, the text output, the JSON texts and the town sheet."""
