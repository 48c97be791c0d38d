"""Evenings at their own pace: does the program keep its memory, rest between ticks, and write only what was marked?

    python3 tests/outside/soak.py target/release/potwatch 240
    python3 tests/outside/soak.py target/release/potwatch 145 --served 70 130 --every 2     (a whole short evening)

Opens the demo's dishes twice, each in a real pty with a home of its own, and lets the clock run for so many minutes:
one party is tomorrow's, and nobody touches it; the other is today's, and its cook marks what is due every fifth
minute (or as told). Each minute's processor time and memory are read from /proc (Linux). Prints, for both, the processor time by
minute, memory at the beginning and at the end, and what was written.
"""

import argparse
import fcntl
import json
import os
import pty
import select
import statistics
import struct
import tempfile
import termios
import time
from datetime import datetime, timedelta
from pathlib import Path

WARM = 5
ROOT = Path(__file__).resolve().parents[2]


def party_of(rests: bool, served: list[int]) -> dict:
    """The demo's party: tomorrow's, or with its services so many minutes from now."""
    party = json.loads((ROOT / "assets/demo/party.json").read_text())
    now = datetime.now() + timedelta(days=rests)
    party["day"] = now.strftime("%Y-%m-%d")
    for hour, minutes, service in zip((18, 19), served, party["services"], strict=True):
        service["at"] = f"{hour}:00" if rests else (now + timedelta(minutes=minutes)).strftime("%H:%M")
    for cook in party["cooks"]:
        cook["free"] = [{"from": "00:10", "to": "23:50"}]
    return party


def used(pid: int) -> tuple[float, int]:
    """Processor seconds so far, and resident memory in kB."""
    fields = Path(f"/proc/{pid}/stat").read_text().rsplit(")", 1)[1].split()
    lines = Path(f"/proc/{pid}/status").read_text().splitlines()
    memory = next(int(line.split()[1]) for line in lines if line.startswith("VmRSS"))
    return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK"), memory


class Evening:
    """The program, in a pty."""

    def __init__(self, program: Path, rests: bool, served: list[int], every: int):
        self.rests, self.every, self.home = rests, every, Path(tempfile.mkdtemp())
        party = self.home / "party.json"
        party.write_text(json.dumps(party_of(rests, served)))
        self.pid, self.screen = pty.fork()
        if self.pid == 0:
            os.environ.update(HOME=str(self.home), XDG_DATA_HOME=str(self.home), TERM="xterm-256color")
            os.execv(program, [str(program), str(party)])
        fcntl.ioctl(self.screen, termios.TIOCSWINSZ, struct.pack("HHHH", 36, 120, 0, 0))
        self.shares, self.memory, self.keys, self.before = [], [], 0, 0.0

    def minute(self, n: int) -> None:
        now, kb = used(self.pid)
        # Its first minutes go into a first plan and its proof, which are not what is asked here.
        if n > WARM:
            self.shares.append((now - self.before) / 60 * 100)
            self.memory.append(kb)
        self.before = now
        if not self.rests and n % self.every == 0:
            os.write(self.screen, b" ")
            self.keys += 1

    def told(self) -> str:
        files = [f for f in self.home.rglob("*") if f.is_file()]
        lines = [line for f in files if f.suffix == ".journal" for line in f.read_bytes().splitlines()]
        tenth = max(1, len(self.memory) // 10)
        early, late = statistics.mean(self.memory[:tenth]), statistics.mean(self.memory[-tenth:])
        return (
            f"{'untouched' if self.rests else f'{self.keys} keys'}: a minute takes {statistics.median(self.shares):.3f} % of a core"
            f" (median; worst {max(self.shares):.3f} %), memory {early / 1024:.1f} MB in the first tenth and"
            f" {late / 1024:.1f} MB in the last, {len(lines)} lines of {sum(map(len, lines)) // max(1, len(lines))}"
            f" bytes in the journal, {len(files)} files"
        )


def main() -> None:
    asked = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    asked.add_argument("program", type=Path)
    asked.add_argument("minutes", type=int)
    asked.add_argument("--served", type=int, nargs=2, default=[120, 180], help="minutes from now until each service")
    asked.add_argument("--every", type=int, default=5, help="minutes from one mark to the next")
    told = asked.parse_args()
    evenings = [Evening(told.program.resolve(), rests, told.served, told.every) for rests in (True, False)]
    by_screen = {e.screen: e for e in evenings}
    for n in range(told.minutes + WARM + 1):
        end = time.monotonic() + 60
        while (left := end - time.monotonic()) > 0:
            for screen in select.select(list(by_screen), [], [], left)[0]:
                os.read(screen, 65536)
        for evening in evenings:
            evening.minute(n)
    for evening in evenings:
        print(evening.told(), flush=True)
        os.write(evening.screen, b"\x03")


if __name__ == "__main__":
    main()
