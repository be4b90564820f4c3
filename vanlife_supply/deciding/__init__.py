"""What to decide: make it last, can I, what if, stay or go, drinking only, which look would help, how good it was.

The app and the command line call the same functions:

    known = ground.ground(book, now)                 # reads the log once; then nothing is read or written any more
    lasting.make_it_last(known, "fresh", until)      -> model.Lasting
    wishing.can_i(known, "shower")                   -> model.Wish
    supposing.what_if(known, supposing.Supposed(people=2))  -> model.Compared
    staying.stay_or_go(known)                        -> model.Staying
    enduring.drinking_only(known, until)             -> model.Enduring
    looking.best_looks(known)                        -> tuple[model.Look, ...]
    judging.look_back(book, now), judging.told(book, entry, now), judging.reasons(known, "fresh")

The words for each are `wording.deciding`, `wording.hindsight` and `wording.why`: `…_text` and `…_json`.
`model` and the words load no numpy; everything else here does.
"""
