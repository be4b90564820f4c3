"""Trips: stays, legs and places → the cheapest plan that holds, proven. Pure: values in, values out.

    trip = load(text)                         # load.py: trip.toml, strict; complete(trip, supplies) for use = "log"
    answer(trip, laws_of, old, out_of_time)   # answer.py: flexible stays settled, planned, the old plan kept if it holds
    plan(trip, laws_of, out_of_time)          # planner.py: networks, bound, search; any law of use (chance.py)
    breaks(trip, plan), binding(plan) …       # cures.py, explain.py: where it breaks and what mends it; why it is so
    expected(trip, plan, laws)                # bands.py: what each stop may come to
    as_object(answer, breaks)                 # report.py: the JSON of the contract
"""
