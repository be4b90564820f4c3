"""Places: where water, dumping and fuel may be had, how sure that is, and how far it is. Pure: values in, values out.

    read = read_places(data, "survey.osm")        # readers/: GPX, GeoJSON, KML, KMZ, OSM XML, Overpass JSON, told by
    read.places, read.tracks, read.problems       #   content; a sentence for each thing left out; Refusal if unreadable
    merged = merge(known, read.places)            # merge.py: a second import updates, never doubles
    answers(place, confirmations, now)            # answers.py: yes, no, ask for each of WHATS, and why
    open_at(place, moment, country="US")          # hours.py: opening hours, seasons, frost: yes, no, ask, and why
    fees(tags, "grey"), fits(tags, vehicle)       # conditions.py: fees, sizes, access, when the map was checked
    between(a, b, line=lay(track.points), …)      # distance.py: road km as a range, and how it is known
    tightest(rules, point, id, stays, now)        # stay.py: the person's own clock against typed stay limits
    to_geojson(places), to_gpx(places, stops)     # writers.py: attribution goes along

`model.py` holds the values: Place, Confirmation, Track. Tags are those of OpenStreetMap, kept as they came.
"""
