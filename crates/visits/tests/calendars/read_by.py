"""Reads calendars back with a general-purpose library: pip install icalendar; python read_by.py > read.txt

Of each event: start and end as the shop's clock shows them, summary, location, description. A calendar in UTC is told
in the zone of its shop.
"""

import pathlib
import zoneinfo

import icalendar

HERE = pathlib.Path(__file__).parent
ZONE = zoneinfo.ZoneInfo("Europe/Berlin")


def shown(time):
    if time.tzinfo is not None:
        time = time.astimezone(ZONE).replace(tzinfo=None)
    return time.isoformat()


print(f"icalendar {icalendar.__version__}")
for name, path in [("odd.ics", HERE / "odd.ics"), ("visits.ics", HERE / "../../../../docs/visits/visits.ics")]:
    calendar = icalendar.Calendar.from_ical(path.read_bytes())
    assert calendar["VERSION"] == "2.0" and not calendar.errors
    events = list(calendar.walk("VEVENT"))
    assert len({event["UID"] for event in events}) == len(events), "two events of one name"
    print(f"== {name}: {len(events)} events")
    for event in events:
        assert not event.errors and event.decoded("DTSTAMP").tzinfo is not None
        print(shown(event.decoded("DTSTART")), shown(event.decoded("DTEND")))
        for key in ("SUMMARY", "LOCATION", "DESCRIPTION"):
            print(f"  {event[key]}")
