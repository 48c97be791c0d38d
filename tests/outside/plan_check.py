"""Holds plans against their own parties, from the plans' JSON alone.

  python plan_check.py PLAN.json…       (as `potwatch plan PARTY.json --json` prints them)

Reads the rules as src/plan/wire.rs writes them, shares no code with the
program, checks every rule at every minute, and adds up every price again.
Beside a plan made while its evening runs, NAME.json, it wants the plan that was
on the screen, NAME.shown.json: what moved is counted against it. What has begun
is taken as it happened; what the plan says of minutes past a safety limit that
had begun to run is believed, if there is such a limit. Prints one line for each
plan; exits with 1 if a rule is broken or a price is wrong.
"""
import json
import math
import pathlib
import sys

LATE, POINT, CUSHION, HOUR, IDLE, HOP = 1_000_000, 10_000, 2_000, 400, 2, 1_500
PAST_TASTE, PAST_SAFETY, OTHER_PLACE = 2_000_000, 5_000_000, 3_000
HOT = ("oven", "grill")


def enough(pieces, least, total, each, stated):
    """How many of these pieces are wanted to hold so much in equal parts, `least` at the least; 0 if they do not.
    One of no stated volume holds `each`; if that does not do, anything, at the cook's word."""
    if not total:
        return least if len(pieces) >= least else 0
    unsaid = sum(not c.get("volume_ml") for c in pieces)
    for n in range(max(1, least), len(pieces) + 1):
        if sum((c.get("volume_ml") or each) * n >= total for c in pieces) >= n:
            return n
    for n in (max(unsaid, stated), stated):
        if sum(not c.get("volume_ml") or c["volume_ml"] * n >= total for c in pieces) >= n:
            return n
    return 0


class Check:
    def __init__(self, plan, shown=None):
        self.plan, self.shown, self.faults, self.costs = plan, shown, [], {}
        self.now = plan["now_minute"]
        self.running = self.now is not None
        self.party = plan["party"]
        self.kitchen = self.party["kitchen"]
        self.stations = {s["id"]: s for s in self.kitchen["stations"]}
        self.dishes = {d["id"]: d for d in self.party["dishes"]}
        self.entries = {e["dish"]: (s, e) for s in plan["services"] for e in s["dishes"]}
        # What was served before is history.
        self.recipes = {d: self.dishes[d]["recipe"] for d in self.dishes
                        if d not in self.entries or self.entries[d][1]["out_minute"] is not None}
        self.blocks = {}
        for b in plan["steps"]:
            self.blocks.setdefault((b["dish"], b["step"]), []).append(b)
        for loads in self.blocks.values():
            loads.sort(key=lambda b: b["load"])
        self.begun = any(b["begun"] for b in plan["steps"])
        self.holds = {h["dish"]: h for h in plan["holds"]}

    def expect(self, holds, what):
        if not holds:
            self.faults.append(what)

    def add(self, kind, amount, weight):
        if amount:
            self.costs[kind] = self.costs.get(kind, 0) + amount * weight

    def run(self):
        for dish, recipe in self.recipes.items():
            for step in recipe["steps"]:
                self.step(dish, recipe, step)
            self.serving(dish, recipe)
        self.knife_waits()
        self.cleans()
        self.places()
        self.pans()
        self.cooks()
        self.heat()
        self.links()
        self.moves()
        self.past_safety()
        mine = sum(self.costs.values())
        told = self.plan["cost"]["total"]
        self.expect(mine == told, f"cost: {mine} added up here, {told} told; {self.costs}")
        self.expect(sum(t["cost"] for t in self.plan["terms"]) == told, "the terms do not add up to the total")
        self.expect(all(t["amount"] * t["weight"] == t["cost"] for t in self.plan["terms"]), "a term is no product")
        self.expect(self.plan["bound"] <= told, "the bound is above the cost")

    def cleans(self):
        """What is washed had been used before by the dish that left something on it, for a guest who is named."""
        guests = {g["name"] for g in self.party.get("guests", [])}
        for clean in self.plan.get("cleans", []):
            step = f"{clean['dish']}/{clean['step']}"
            mine = [b for b in self.blocks.get((clean["dish"], clean["step"]), []) if b["load"] == clean["load"]]
            self.expect(mine, f"{step}: washed for, and not in the plan")
            for trace in clean["traces"]:
                items = [i["item"] for i in self.recipes.get(trace["dish"], {}).get("ingredients", [])]
                self.expect(trace["item"] in items, f"{step}: {trace['dish']} has no {trace['item']}")
                self.expect(trace["guest"] in guests, f"{step}: no guest {trace['guest']}")
                self.expect(trace["dish"] != clean["dish"], f"{step}: washed of itself")
                used = [b for b in self.plan["steps"]
                        if b["dish"] == trace["dish"] and b["station"] == clean["thing"]
                        and clean.get("number", 0) in (b["slots"] or [0])]
                used += [p for p in self.plan["pans"]
                         if p["dish"] == trace["dish"] and p["cookware"] == clean["thing"]]
                starts = [u.get("start_minute", u.get("from_minute")) for u in used]
                self.expect(mine and any(at <= mine[0]["start_minute"] for at in starts),
                            f"{step}: {trace['dish']} had not used {clean['thing']}")

    def knife_waits(self):
        for wait in self.plan.get("knife_waits", []):
            cut = self.blocks.get((wait["cut_with"], wait["cut"]), [])
            for b in self.blocks.get((wait["dish"], wait["step"]), []):
                ready = all(b["start_minute"] >= c["end_minute"] for c in cut)
                self.expect(b["begun"] or ready, f"{wait['dish']}/{wait['step']}: before {wait['cut']}")

    # ---- steps and what they follow
    def step(self, dish, recipe, step):
        name = f"{dish}/{step['id']}"
        loads = self.blocks.get((dish, step["id"]), [])
        servings = self.dishes[dish]["servings"]
        if not loads:
            return self.expect(False, f"{name} is missing")
        way = step["ways"][loads[0]["way"]]
        n = math.ceil(servings / way["load_servings"]) if way.get("load_servings") else 1
        self.expect([b["load"] for b in loads] == list(range(n)), f"{name}: loads")
        minutes = way["minutes"] if isinstance(way["minutes"], int) else way["minutes"]["likely"]
        if step.get("grows") == "proportion":
            minutes = math.ceil(minutes * servings / recipe["servings"])
        minutes = max(1, minutes)
        self.add("way", way.get("points", 0), POINT)
        for before, b in zip([None] + loads, loads):
            if b["begun"]:
                self.expect(self.running and b["start_minute"] <= self.now, f"{name}: begun, but not by now")
                continue
            station = self.stations[b["station"]]
            self.expect(b["way"] == loads[0]["way"], f"{name}: one way for all loads")
            self.expect(b["end_minute"] - b["start_minute"] == minutes, f"{name}: {minutes} minutes")
            self.expect(b["start_minute"] >= self.plan["made_for_minute"], f"{name}: in the past")
            self.expect(station["kind"] == way["station"], f"{name}: kind of station")
            places = self.places_of(dish, recipe, step, way, b, station)
            self.expect(len(set(b["slots"])) == places, f"{name}: {len(set(b['slots']))} slots, not {places}")
            self.expect(all(0 <= s < station["slots"] for s in b["slots"]), f"{name}: slot numbers")
            if way.get("ml_per_serving") and station.get("volume_ml"):
                self.expect(way["ml_per_serving"] * servings <= station["volume_ml"], f"{name}: volume")
            if station.get("thermostat"):
                c = b["setting_c"]
                self.expect(c is not None and abs(c - way["at_c"]) <= way.get("give_c", 0), f"{name}: setting {c}")
            if before:
                self.expect(b["start_minute"] >= before["end_minute"], f"{name}: loads overlap")
            self.hands(name, step, b)
        for after in step.get("after", []):
            earlier = self.blocks.get((dish, after["step"]), [])
            if not earlier:
                continue
            first, last = earlier[0]["end_minute"], max(b["end_minute"] for b in earlier)
            ahead = [b for b in loads if not b["begun"]]
            if not ahead:
                continue
            start = ahead[0]["start_minute"]
            self.expect(start - last >= after.get("least_minutes", 0), f"{name}: too soon after {after['step']}")
            if ahead[0] is loads[0] and after.get("most_minutes") is not None:
                past = max(0, start - first - after["most_minutes"])
                if earlier[0]["begun"]:
                    self.add("past_most", past, PAST_TASTE)
                else:
                    self.expect(past == 0, f"{name}: too long after {after['step']}")
            if ahead[0] is loads[0] and after.get("best_minutes"):
                short = max(0, after["best_minutes"] - (start - first))
                self.add("short_of_best", short, after.get("short_points", 0) * POINT // 10)
            if after.get("place") == "cold":
                until = max(b["start_minute"] for b in loads)
                kept = [w for w in self.plan["waits"]
                        if (w["dish"], w["after_step"], w["before_step"]) == (dish, after["step"], step["id"])]
                if until > max(first, self.plan["made_for_minute"]):
                    ok = any(w["from_minute"] <= max(first, self.plan["made_for_minute"]) and w["to_minute"] >= until and w["slots"]
                             and self.stations[w["station"]]["kind"] in ("fridge", "freezer") for w in kept)
                    self.expect(ok, f"{name}: no place in the fridge")

    def hands(self, name, step, b):
        hands = step.get("hands", {})
        start, end = b["start_minute"], b["end_minute"]
        first = min(start + hands.get("start_minutes", 0), end)
        last = max(first, end - hands.get("end_minutes", 0))
        want = [(start, first, 100), (first, last, hands.get("between_percent", 0)), (last, end, 100)]
        minute = {m: p for a, z, p in want for m in range(a, z) if p}
        have = {m: h["percent"] for h in b["hands"] for m in range(h["from_minute"], h["to_minute"])}
        self.expect(minute == have, f"{name}: hands")
        self.expect(not minute or b["cook"], f"{name}: no cook")

    # ---- dishes
    def serving(self, dish, recipe):
        followed = {a["step"] for s in recipe["steps"] for a in s.get("after", [])}
        last = [s for s in recipe["steps"] if s["id"] not in followed]
        self.expect(len(last) == 1, f"{dish}: one last step")
        loads = self.blocks[dish, last[0]["id"]]
        out, ready = loads[0]["end_minute"], max(b["end_minute"] for b in loads)
        service, entry = self.entries[dish]
        due = service["due_minute"]
        served = max(due, ready)
        told = (entry["out_minute"], entry["ready_minute"], entry["served_minute"])
        self.expect(told == (out, ready, served), f"{dish}: out, ready, served {told}")
        self.add("late", served - due, LATE)
        early = max(0, due - ready)
        self.add("cushion", max(0, entry["cushion_minutes"] - early), CUSHION)
        hold = self.holds.get(dish)
        if hold is None:
            self.expect(served == out, f"{dish} waits nowhere")
            best = [h for h in recipe.get("holds", []) if h.get("best_minutes")]
            if best:
                cost = min(h["best_minutes"] * h.get("short_points", 0) for h in recipe["holds"]
                           if h.get("best_minutes") is not None)
                told = sum(t["cost"] for t in self.plan["terms"] if t["dish"] == dish and "straight" in t["kind"])
                self.expect(told in (cost * POINT // 10, 0), f"{dish}: price of serving straight")
                self.add("straight", told, 1)
        else:
            self.hold(dish, recipe, hold, out, ready, served, loads[0]["begun"])
        self.safe(dish, recipe, entry, hold, served, last[0])

    def hold(self, dish, recipe, hold, out, ready, served, begun):
        self.expect((hold["from_minute"], hold["to_minute"]) == (out, served), f"{dish}: hold from out to served")
        waits = served - out
        if hold["hold"] is None:
            self.expect(not recipe.get("holds"), f"{dish}: on the pass though the recipe names a hold")
            self.add("hold", max(0, waits - 2), 5 * POINT // 10)
            past = max(0, served - ready - 10)
            if begun:
                return self.add("past_most", past, PAST_TASTE)
            return self.expect(past == 0, f"{dish}: too long on the pass")
        rule = recipe["holds"][hold["hold"]]
        station = self.stations[hold["station"]]
        self.expect(station["kind"] == rule["place"] and hold["class"] == rule["class"], f"{dish}: place of the hold")
        past = max(0, waits - rule["most_minutes"])
        if begun:
            self.add("past_most", past, PAST_TASTE)
        else:
            self.expect(past == 0, f"{dish}: waits {waits} of {rule['most_minutes']}")
        if station.get("thermostat") and rule.get("at_c") is not None:
            c = hold["setting_c"]
            self.expect(c is not None and abs(c - rule["at_c"]) <= rule.get("give_c", 0), f"{dish}: hold at {c}")
        self.add("hold", max(0, waits - rule["free_minutes"]), rule["points"] * POINT // 10)
        if rule.get("best_minutes") is not None:
            self.add("hold_best", max(0, rule["best_minutes"] - waits), rule.get("short_points", 0) * POINT // 10)

    def safe(self, dish, recipe, entry, hold, served, last):
        """What the food is without heat or cold, from one heating to the next and to the end of its time on the table,
        keeps the limit: a hot or cold place stops the clock, only heating sets it back."""
        limit = entry["limit_minutes"]
        if limit is None:
            return
        kept = hold is not None and hold["class"] in ("hot", "cold")
        for out, where in self.ways(dish, recipe, last, served, kept, entry["table_minutes"]):
            self.expect(out <= limit, f"{dish}: {out} minutes out of control {where}, {limit} allowed")
        self.expect(entry["table_minutes"] <= limit, f"{dish}: the table alone passes the limit")

    def ways(self, dish, recipe, last, served, kept, table):
        """Minutes out of control along each way through the recipe since the food was last heated, but for stretches
        that began before now. Dry goods may lie about until they are heated."""
        cold = [i.get("steps") or [s["id"] for s in recipe["steps"]] for i in recipe["ingredients"]
                if i.get("kept", "cupboard") != "cupboard" or i.get("unit") == "can"]
        fridge = any(s["kind"] == "fridge" for s in self.stations.values())
        ends, found = {}, []
        left = lambda step, loads: (max if self.care(loads) == "open" else min)(b["end_minute"] for b in loads)

        def gone(way, since, until):
            out, dry, ran = way
            ran = ran or (self.running and since < min(self.now, until))
            return out if ran else out + max(0, until - since), dry, ran

        def at_end(step):
            if step["id"] in ends:
                return ends[step["id"]]
            ends[step["id"]] = set()  # a ring ends here
            loads = self.blocks[dish, step["id"]]
            care, steps = self.care(loads), {s["id"]: s for s in recipe["steps"]}
            start, end = min(b["start_minute"] for b in loads), max(b["end_minute"] for b in loads)
            # The last load waits for its turn to be heated or chilled.
            to = start if care == "open" else max(b["start_minute"] for b in loads)
            arriving = set()
            for after in step.get("after", []):
                before = steps[after["step"]]
                place = after.get("place", "room")
                for way in at_end(before):
                    if place == "room" or (place == "cold" and not fridge):
                        arriving.add(gone(way, left(before, self.blocks[dish, before["id"]]), to))
                    else:
                        arriving.add((way[0], False, False))
            uses = any(step["id"] in of for of in cold)
            if uses or not step.get("after"):
                arriving.add((0, bool(cold) and not uses, False))
            if care == "heated":
                found.extend((out, f"up to {step['id']}") for out, dry, _ in arriving if not dry)
                arriving = {(0, False, False)}
            elif care == "chilled":
                arriving = {(out, False, False) for out, _, _ in arriving}
            else:
                arriving = {gone(way, start, end) for way in arriving}
            # Of those that are alike only the longest matters.
            longest = {}
            for out, *rest in arriving:
                longest[tuple(rest)] = max(out, longest.get(tuple(rest), out))
            ends[step["id"]] = {(out, *rest) for rest, out in longest.items()}
            return ends[step["id"]]

        for way in at_end(last):
            if not kept:
                way = gone(way, left(last, self.blocks[dish, last["id"]]), served)
            found.append((way[0] + (0 if way[2] else table), "with the table"))
        return found

    def care(self, loads):
        """What a step does to its food, by where its loads stand; one that was left out does nothing."""
        kinds = {self.stations[b["station"]]["kind"] for b in loads if b["start_minute"] < b["end_minute"]}
        if not kinds or "counter" in kinds:
            return "open"
        return "chilled" if kinds & {"fridge", "freezer"} else "heated"

    # ---- places, pans, cooks, heat
    def apart(self, takings, what):
        """No two have one place at a time, but for what had begun by now; of what was before now nothing is said."""
        for place, spans in takings.items():
            spans = sorted((max(a, self.plan["made_for_minute"]), z, *who) for a, z, *who in spans)
            spans = [s for s in spans if s[0] < s[1]]
            for i, one in enumerate(spans):
                for two in spans[i + 1:]:
                    begun = one[-1] and two[-1]
                    self.expect(begun or two[0] >= one[1], f"{what} {place}: {one} meets {two}")

    def by_now(self, minute):
        return self.running and minute <= self.now

    def places(self):
        takings = {}
        for b in self.plan["steps"]:
            for s in b["slots"]:
                taking = (b["start_minute"], b["end_minute"], b["dish"], b["begun"])
                takings.setdefault((b["station"], s), []).append(taking)
        for h in self.plan["holds"]:
            for s in h["slots"]:
                taking = (h["from_minute"], h["to_minute"], h["dish"], self.by_now(h["from_minute"]))
                takings.setdefault((h["station"], s), []).append(taking)
        for w in self.plan["waits"]:
            # What runs comes out when it does, wherever there is room for it.
            begun = self.by_now(w["from_minute"]) or self.blocks[w["dish"], w["after_step"]][0]["begun"]
            for s in w["slots"]:
                taking = (w["from_minute"], w["to_minute"], w["dish"], begun)
                takings.setdefault((w["station"], s), []).append(taking)
        self.apart(takings, "slot")

    def pans(self):
        takings, ware = {}, {c["id"]: c for c in self.kitchen["cookware"]}
        for p in self.plan["pans"]:
            for n in p["numbers"]:
                self.expect(0 <= n < ware[p["cookware"]]["count"], f"there is no {p['cookware']} {n}")
                begun = self.running and p["from_minute"] < self.now
                taking = (p["from_minute"], p["to_minute"], p["dish"], begun)
                takings.setdefault((p["cookware"], n), []).append(taking)
        self.apart(takings, "pan")
        for dish, recipe in self.recipes.items():
            for kind in {c["kind"] for s in recipe["steps"] for c in s.get("cookware", [])}:
                using = [s for s in recipe["steps"] if any(c["kind"] == kind for c in s.get("cookware", []))]
                blocks = [b for s in using for b in self.blocks[dish, s["id"]]]
                start, end = min(b["start_minute"] for b in blocks), max(b["end_minute"] for b in blocks)
                start = max(start, self.plan["made_for_minute"])
                hold = self.holds.get(dish)
                if hold and hold["hold"] is not None and recipe["holds"][hold["hold"]].get("cookware") == kind:
                    end = max(end, hold["to_minute"])
                if end <= start:
                    continue
                oven = any(self.stations[b["station"]]["kind"] in HOT for b in blocks)
                asked = [self.asked(dish, recipe, c, s["ways"][self.blocks[dish, s["id"]][0]["way"]])
                         for s in using for c in s["cookware"] if c["kind"] == kind]
                stated, pieces, total, each = (max(column) for column in zip(*asked))
                mine = self.pieces_of(dish, kind, start, end)
                all_there = [c for c in ware.values() if c["kind"] == kind for _ in range(c["count"])]
                proof = [c for c in all_there if c.get("ovenproof")]
                if oven and enough(proof, min(stated, pieces), total, each, stated):
                    mine, all_there = [c for c in mine if c.get("ovenproof")], proof
                # All that there is will do, and what has begun has found its pans.
                if any(b["begun"] for b in blocks):
                    pieces = min(pieces, stated)
                elif len(mine) == len(all_there):
                    pieces = min(pieces, max(stated, len(mine)))
                self.expect(enough(mine, pieces, total, each, stated),
                            f"{dish} has {len(mine)} {kind}, for {pieces} pieces and {total} ml")

    def asked(self, dish, recipe, need, way):
        """Pieces stated, pieces for what is made at once, ml that they hold together, ml of each by the recipe."""
        stated, each = need.get("count", 1), need.get("least_ml") or 0
        servings, load = self.dishes[dish]["servings"], way.get("load_servings")
        at_once = min(load or servings, servings)
        if each:
            return stated, 1, -(-stated * each * at_once // recipe["servings"]), each
        own = min(load or recipe["servings"], recipe["servings"])
        return stated, -(-stated * at_once // own) if stated > 1 else 1, 0, 0

    def pieces_of(self, dish, kind, start, end):
        ware = {c["id"]: c for c in self.kitchen["cookware"]}
        return [ware[p["cookware"]] for p in self.plan["pans"] if p["dish"] == dish
                and ware[p["cookware"]]["kind"] == kind and p["from_minute"] <= start and p["to_minute"] >= end
                for _ in p["numbers"]]

    def places_of(self, dish, recipe, step, way, block, station):
        """Places by the pieces that the dish has; the way's own are for the count that the recipe states."""
        own, needs = way.get("slots", 1), step.get("cookware", [])
        if way["station"] in HOT:
            deciding = needs
        elif way["station"] in ("stovetop", "fridge", "freezer"):
            deciding = needs[:1]
        else:
            return own
        places = []
        for need in deciding:
            mine = self.pieces_of(dish, need["kind"], block["start_minute"], block["end_minute"])
            if not mine or way["station"] in HOT and not all(c.get("ovenproof") for c in mine):
                continue
            stated, pieces, total, each = self.asked(dish, recipe, need, way)
            n = enough(mine, 1, total, each, stated) if total else min(pieces, len(mine))
            if n:
                places.append(-(-own * n // stated))
        wanted = max(places, default=own)
        return min(wanted, max(station["slots"], own)) if wanted > own else wanted

    def cooks(self):
        asked, new = {}, {}
        for b in self.plan["steps"]:
            for h in b["hands"]:
                for m in range(h["from_minute"], h["to_minute"]):
                    for which in [asked] + ([] if b["begun"] else [new]):
                        which.setdefault(b["cook"], {}).setdefault(m, 0)
                        which[b["cook"]][m] += h["percent"]
        first = None
        # Once the evening runs, the first cook and who leaves last of all stay on; others are gone at their hour.
        last_of_all = max((minute_of(f["to"]) for c in self.party["cooks"] for f in c["free"]), default=0)
        for nth, cook in enumerate(self.party["cooks"]):
            minutes = new.get(cook["id"], {})
            free = sorted((minute_of(f["from"]), minute_of(f["to"])) for f in cook["free"])
            if self.running and free and (nth == 0 or free[-1][1] == last_of_all):
                free[-1] = (free[-1][0], 10**9)
            for m in minutes:
                percent = asked[cook["id"]][m]
                self.expect(percent <= 100, f"{cook['id']}: {percent} at {m}")
                self.expect(any(a <= m < z for a, z in free), f"{cook['id']} is not there at {m}")
            if minutes:
                first = min(minutes) if first is None else min(first, min(minutes))
                idle = 100 * (max(minutes) + 1 - min(minutes)) - sum(minutes.values())
                self.add("idle", idle, 0 if self.begun else IDLE)
        if first is not None:
            due = [s["due_minute"] for s in self.plan["services"]
                   if any(e["dish"] in self.recipes for e in s["dishes"])]
            self.add("hours", max(0, max(due) - first), 0 if self.begun else HOUR)

    def heat(self):
        for station in self.kitchen["stations"]:
            t = station.get("thermostat")
            if not t:
                continue
            settings = sorted((s for s in self.plan["settings"] if s["station"] == station["id"]),
                              key=lambda s: (s["from_minute"], s["to_minute"]))
            at, until = self.party["room_c"], -10**9
            if self.running and settings:
                at = settings[0]["from_c"]  # What it has now is a fact of the evening.
            for s in settings:
                name = f"{station['id']} at {s['from_minute']}"
                self.expect(s["from_minute"] >= until, f"{name}: settings overlap")
                self.expect(s["from_c"] == at, f"{name}: it has {at} °C")
                change = s["to_c"] - s["from_c"]
                rate = t["up_c_per_min"] if change > 0 else t["down_c_per_min"]
                need = math.ceil(abs(change) / rate)
                self.expect(s["to_minute"] - s["from_minute"] >= need, f"{name}: needs {need} minutes")
                self.expect((s["kind"] == "keeping") == (change == 0), f"{name}: {s['kind']}")
                if change:
                    self.expect(t["least_c"] <= s["to_c"] <= t["most_c"], f"{name}: not on the dial")
                at, until = s["to_c"], s["to_minute"]
            uses = [(b["start_minute"], b["end_minute"], b["setting_c"]) for b in self.plan["steps"]
                    if b["station"] == station["id"] and not b["begun"]]
            uses += [(h["from_minute"], h["to_minute"], h["setting_c"]) for h in self.plan["holds"]
                     if h["station"] == station["id"] and h["from_minute"] < h["to_minute"]
                     and h["from_minute"] >= self.plan["made_for_minute"]]
            for a, z, c in uses:
                kept = any(s["kind"] == "keeping" and s["from_minute"] <= a and z <= s["to_minute"] and s["to_c"] == c
                           for s in settings)
                self.expect(kept, f"{station['id']} is not kept at {c} from {a} to {z}")

    def links(self):
        for link in self.plan["links"]:
            steps = {s["id"]: s for s in self.recipes[link["dish"]]["steps"]}
            after = next(a for a in steps[link["to_step"]]["after"] if a["step"] == link["from_step"])
            ended = max(b["end_minute"] for b in self.blocks[link["dish"], link["from_step"]])
            start = self.blocks[link["dish"], link["to_step"]][0]["start_minute"]
            self.add("hop", int(start > ended + after.get("least_minutes", 0)), HOP)

    # ---- against the plan on the screen
    def moves(self):
        if not self.running or self.shown is None:
            return
        stood = {(b["dish"], b["step"], b["load"]): b for b in self.shown["steps"] if not b["begun"]}
        placed = set()
        for b in sorted(self.plan["steps"], key=lambda b: (b["dish"], b["step"], b["load"])):
            before = stood.get((b["dish"], b["step"], b["load"]))
            if b["begun"] or before is None:
                continue
            away = before["start_minute"] - self.now
            price = 300 if away <= 10 else 150 if away <= 30 else 50
            self.add("moved", abs(b["start_minute"] - before["start_minute"]), price)
            if (b["dish"], b["step"]) not in placed:
                placed.add((b["dish"], b["step"]))
                other = (b["way"], b["station"]) != (before["way"], before["station"])
                self.add("other_place", int(other), OTHER_PLACE)

    def past_safety(self):
        """Only for a clock that ran already when the plan was made."""
        for term in self.plan["terms"]:
            if term["kind"] != "past_safety_limit":
                continue
            limit = self.entries[term["dish"]][1]["limit_minutes"]
            ran = any(b["begun"] for b in self.plan["steps"] if b["dish"] == term["dish"])
            self.expect(self.running and limit is not None and ran and term["weight"] == PAST_SAFETY,
                        f"{term['dish']}: past a limit that nothing had begun to run against")
            self.add("past_safety", term["amount"], PAST_SAFETY)


def minute_of(text):
    hours, minutes = text.split(":")
    return 60 * int(hours) + int(minutes)


def main():
    wrong = 0
    for name in sys.argv[1:]:
        path = pathlib.Path(name)
        shown = path.with_suffix(".shown.json")
        check = Check(json.loads(path.read_text()), json.loads(shown.read_text()) if shown.exists() else None)
        check.run()
        for fault in check.faults:
            print("FAULT:", fault)
        wrong += bool(check.faults)
        if len(sys.argv) == 2 or check.faults:
            print(f"{name}: {len(check.plan['steps'])} blocks, cost {check.plan['cost']['total']}, "
                  f"{len(check.faults)} faults")
    print(f"{len(sys.argv) - 1} plans, {wrong} with faults")
    sys.exit(1 if wrong else 0)


main()
