"""The sheets of a party as other people's programs read them.

  python paper.py POTWATCH PARTY.json [FOLDER]

The calendar is read back with the library icalendar and held against the plan: every step has
its event at its minute, UIDs are there once, every alarm has a trigger. If there is a Chromium and
the library playwright, the page and the chart are opened in it: nothing is fetched, nothing
stands out of its page on a screen, a telephone or paper of A4 and Letter width, no word stands
out of its block. FOLDER keeps pictures and printed pages to look at.
"""
import datetime
import json
import os
import pathlib
import shutil
import subprocess
import sys
import tempfile
import zoneinfo

import icalendar

ZONE = "America/Chicago"
OUTSIDE = """() => [...document.querySelectorAll('body *')]
  .filter(e => !e.closest('caption, .aside') && e.getBoundingClientRect().right > innerWidth + 1)
  .map(e => e.tagName + ': ' + e.textContent.slice(0, 40))"""
SPILLED = """() => [...document.querySelectorAll('g')].flatMap(g => {
  const [box, words] = [g.querySelector(':scope > rect'), g.querySelector(':scope > text')];
  if (!box || !words) return [];
  // By the dots of the screen: letters are fitted to them, also where the picture is drawn small.
  const [b, w] = [box.getBoundingClientRect(), words.getBoundingClientRect()];
  return w.left < b.left - 1 || w.right > b.right + 1 ? [words.textContent] : [];
})"""


def run(*args):
    env = {**os.environ, "TZ": ZONE}
    return subprocess.run(args, check=True, capture_output=True, env=env).stdout


def calendar(potwatch, party, effort):
    plan = json.loads(run(potwatch, "plan", party, "--json", *effort))
    read = icalendar.Calendar.from_ical(run(potwatch, "sheets", party, "--format", "ics", *effort))
    events = read.walk("VEVENT")
    assert not any(part.errors for part in read.walk()), "the parser met errors"
    uids = [str(e["UID"]) for e in events]
    assert len(set(uids)) == len(uids), "a UID is there twice"
    day = datetime.date.fromisoformat(json.loads(pathlib.Path(party).read_text())["day"])
    midnight = datetime.datetime(day.year, day.month, day.day, tzinfo=zoneinfo.ZoneInfo(ZONE))
    spans = {(e["DTSTART"].dt, e["DTEND"].dt) for e in events if str(e["UID"]).startswith("step.")}
    for step in plan["steps"]:
        span = tuple(midnight + datetime.timedelta(minutes=step[k]) for k in ("start_minute", "end_minute"))
        assert span in spans, f"no event for {step}"
    alarms = read.walk("VALARM")
    assert alarms and all(a["TRIGGER"].dt <= datetime.timedelta(0) for a in alarms)
    return f"{len(events)} events and {len(alarms)} alarms read back"


def browser(potwatch, party, effort, folder):
    found = next(filter(None, map(shutil.which, ("chromium", "chromium-browser", "google-chrome"))), None)
    try:
        from playwright.sync_api import sync_playwright
    except ImportError:
        found = None
    if not found:
        return "skipped in a browser: no Chromium, or playwright is missing"
    page_file, chart_file, list_file = (folder / name for name in ("sheets.html", "chart.svg", "shopping.html"))
    page_file.write_bytes(run(potwatch, "sheets", party, "--format", "html", *effort))
    list_file.write_bytes(run(potwatch, "shopping", party, "--format", "html"))
    chart_file.write_bytes(run(potwatch, "sheets", party, "--format", "svg", *effort))
    with sync_playwright() as play:
        chromium = play.chromium.launch(executable_path=found, args=["--no-sandbox"])
        page = chromium.new_page()
        fetched = []
        page.on("request", lambda r: fetched.append(r.url))
        # A desk, a telephone; A4 (210 mm) and Letter (8.5 in) less margins of 12 mm, at 96 dots an inch.
        for name, width, media in (("desk", 1280, "screen"), ("telephone", 360, "screen"),
                                   ("a4", 703, "print"), ("letter", 725, "print")):
            page.set_viewport_size({"width": width, "height": 900})
            page.emulate_media(media=media)
            for file in (list_file, page_file):
                page.goto(file.as_uri())
                out = page.evaluate(OUTSIDE)
                assert not out, f"{name}: stands out of {file.name}: {out[:5]}"
            spilled = page.evaluate(SPILLED)
            assert not spilled, f"{name}: stands out of its block: {spilled[:5]}"
            page.screenshot(path=folder / f"{name}.png", full_page=True)
        for paper in ("A4", "Letter"):
            page.pdf(path=folder / f"{paper}.pdf", format=paper, prefer_css_page_size=False)
        page.emulate_media(media="screen")
        page.goto(chart_file.as_uri())
        spilled = page.evaluate(SPILLED)
        assert not spilled, f"chart: stands out of its block: {spilled[:5]}"
        assert all(url.startswith("file:") for url in fetched), fetched
        version = chromium.version
        chromium.close()
    return f"page and chart as they should be in Chromium {version}"


def main():
    potwatch, party = sys.argv[1], sys.argv[2]
    effort = ("--rounds", "40")
    with tempfile.TemporaryDirectory() as temporary:
        folder = pathlib.Path(sys.argv[3] if len(sys.argv) > 3 else temporary)
        words = [calendar(potwatch, party, effort), browser(potwatch, party, effort, folder)]
    print("; ".join(words))


main()
