"""Solves an exported planning problem with OR-Tools CP-SAT, a general-purpose
solver, under exactly the rules and prices written in src/plan/problem.rs.

  python cp_sat.py PROBLEM.json [--seconds S] [--workers N] [--schedule OUT.json] [--hint SCHEDULE.json]

Prints one JSON line: status, cost, bound, milliseconds to the first valid
answer, to the best one and to the proof. With --schedule it writes the answer
in the shape of `Schedule`, which the example `solve --judge` holds against
the written rules: so the two readings of the rules check each other.
"""
import argparse
import json
import time

from ortools.sat.python import cp_model

FAR = 2**31 - 1


class Build:
    def __init__(self, problem):
        self.p = problem
        self.m = cp_model.CpModel()
        self.terms = []
        tasks = problem["tasks"]
        fixed = [t["fixed"] for t in tasks]
        times = [problem["start"], problem["end"]]
        for f in fixed:
            if f:
                times += [f["start"], f["end"]]
        for d in problem["dishes"]:
            times.append(d["due"])
        self.low, self.high = min(times) - 1, max(times) + 1
        self.choose()
        self.serve()
        self.lags()
        self.resources()
        self.ovens()
        self.effort()
        self.m.minimize(sum(price * var for price, var in self.terms))

    # ---- small helpers
    def var(self, name, low=None, high=None):
        return self.m.new_int_var(self.low if low is None else low, self.high if high is None else high, name)

    def over(self, price, low_expr, cond, name):
        """price x max(0, low_expr), counted only where all of cond hold."""
        if price == 0:
            return
        extra = self.m.new_int_var(0, 4 * (self.high - self.low) + 200_000, name)
        self.m.add(extra >= low_expr).only_enforce_if(cond)
        self.terms.append((price, extra))

    def both(self, a, b):
        """A literal that is true just when both are."""
        if a is True:
            return b
        if b is True:
            return a
        lit = self.m.new_bool_var("")
        self.m.add_bool_and([a, b]).only_enforce_if(lit)
        self.m.add_bool_or([a.negated(), b.negated(), lit])
        return lit

    def either(self, lits):
        if len(lits) == 1:
            return lits[0]
        lit = self.m.new_bool_var("")
        self.m.add_bool_or(lits).only_enforce_if(lit)
        for x in lits:
            self.m.add_implication(x, lit)
        return lit

    # ---- modes, starts, ends, cooks
    def choose(self):
        m, p = self.m, self.p
        self.mode, self.start, self.end, self.active, self.cook = [], [], [], [], []
        for s, step in enumerate(p["steps"]):
            lits = [m.new_bool_var(f"mode{s}_{k}") for k in range(len(step["modes"]))]
            m.add_exactly_one(lits)
            self.mode.append(lits)
            self.terms += [(mode["price"], lit) for mode, lit in zip(step["modes"], lits)]
        for t, task in enumerate(p["tasks"]):
            step = p["steps"][task["step"]]
            on = [k for k, mode in enumerate(step["modes"]) if task["load"] < mode["loads"]]
            lits = [self.mode[task["step"]][k] for k in on]
            if not lits:
                lit = m.new_bool_var("")
                m.add(lit == 0)
                active = lit
            elif len(on) == len(step["modes"]):
                active = m.new_constant(1)
            else:
                active = self.either(lits)
            self.active.append(active)
            f = task["fixed"]
            if f:
                self.start.append(m.new_constant(f["start"]))
                self.end.append(m.new_constant(f["end"]))
                self.cook.append({f["cook"]: m.new_constant(1)} if f["cook"] is not None else {})
                continue
            first = max(task["earliest"], p["start"])
            start = self.var(f"start{t}", first, max(first, min(task["latest"], p["end"])))
            if task["latest"] < first:
                m.add_bool_or([active.negated()])
            end = self.var(f"end{t}", first, max(first, p["end"]))
            for k in on:
                m.add(end == start + step["modes"][k]["minutes"]).only_enforce_if(self.mode[task["step"]][k])
            if len(on) < len(step["modes"]):
                m.add(start == first).only_enforce_if(active.negated())
                m.add(end == first).only_enforce_if(active.negated())
            self.start.append(start)
            self.end.append(end)
            handy = [k for k in on if step["modes"][k]["hands"]]
            cooks = {}
            if handy:
                cooks = {c: m.new_bool_var(f"cook{t}_{c}") for c in step["cooks"]}
                m.add_at_most_one(cooks.values())
                for k in handy:
                    m.add_bool_or(list(cooks.values())).only_enforce_if(self.mode[task["step"]][k])
            self.cook.append(cooks)

    def at(self, point):
        return (self.end if point["end"] else self.start)[point["task"]]

    def loads_of(self, s):
        step = self.p["steps"][s]
        return range(step["first_task"], step["first_task"] + step["task_count"])

    def ended(self, s, name):
        """End of the last active load of a step: the loads follow each other."""
        loads = list(self.loads_of(s))
        if len(loads) == 1:
            return self.end[loads[0]]
        last = self.var(name)
        for k, mode in enumerate(self.p["steps"][s]["modes"]):
            self.m.add(last == self.end[loads[mode["loads"] - 1]]).only_enforce_if(self.mode[s][k])
        return last

    # ---- dishes: out, ready, served, holds
    def serve(self):
        m, p = self.m, self.p
        self.out, self.served, self.hold = [], [], []
        for d, dish in enumerate(p["dishes"]):
            out = self.end[p["steps"][dish["last_step"]]["first_task"]]
            ready = self.ended(dish["last_step"], f"ready{d}")
            served = self.var(f"served{d}")
            m.add_max_equality(served, [ready, m.new_constant(dish["due"])])
            lits = [m.new_bool_var(f"hold{d}_{h}") for h in range(len(dish["holds"]))]
            none = m.new_bool_var(f"straight{d}")
            m.add_exactly_one(lits + [none])
            if dish["held"] is not None:
                m.add(lits[dish["held"]] == 1)
            waits = served - out
            m.add(waits == 0).only_enforce_if(none)
            self.terms.append((dish["late_price"], served - dish["due"]))
            self.terms.append((dish["straight_price"], none))
            self.over(dish["cushion_price"], dish["cushion"] + ready - served, [], f"cushion{d}")
            self.limits(d, none, dish["straight"], served)
            for h, hold in enumerate(dish["holds"]):
                lit = [lits[h]]
                if hold["soft_most"] is None:
                    m.add(waits <= hold["most"]).only_enforce_if(lit)
                else:
                    self.over(hold["soft_most"], waits - hold["most"], lit, "")
                self.over(hold["price"], waits - hold["free"], lit, "")
                if hold["best"]:
                    self.over(hold["best"][1], hold["best"][0] - waits, lit, "")
                self.limits(d, lits[h], hold["limits"], served)
            self.out.append(out)
            self.served.append(served)
            self.hold.append(lits)

    def limits(self, d, lit, limits, served):
        for limit in limits:
            cond = [lit, self.active[limit["from"]["task"]]]
            gap = served - self.at(limit["from"])
            if limit["soft_most"] is None:
                self.m.add(gap <= limit["most"]).only_enforce_if(cond)
            else:
                self.over(limit["soft_most"], gap - limit["most"], cond, "")

    def lags(self):
        for lag in self.p["lags"]:
            a, b = lag["from"]["task"], lag["to"]["task"]
            cond = [self.active[a], self.active[b]]
            gap = self.at(lag["to"]) - self.at(lag["from"])
            if not (self.p["tasks"][a]["fixed"] and self.p["tasks"][b]["fixed"]):
                if lag["least"] > -FAR:
                    self.m.add(gap >= lag["least"]).only_enforce_if(cond)
                if lag["most"] < FAR and lag["soft_most"] is None:
                    self.m.add(gap <= lag["most"]).only_enforce_if(cond)
            if lag["soft_most"] is not None:
                self.over(lag["soft_most"], gap - lag["most"], cond, "")
            if lag["best"]:
                self.over(lag["best"][1], lag["best"][0] - gap, cond, "")

    # ---- resources
    def resources(self):
        m, p = self.m, self.p
        self.load = [[] for _ in p["resources"]]  # (interval, amount)
        self.taken = [dict() for _ in p["resources"]]  # minute -> amount of what stands already
        for t, task in enumerate(p["tasks"]):
            step = p["steps"][task["step"]]
            for k, mode in enumerate(step["modes"]):
                if task["load"] >= mode["loads"]:
                    continue
                lit = self.mode[task["step"]][k]
                if task["fixed"]:
                    assert len(step["modes"]) == 1, "a step that has begun has one mode"
                    self.stand(task["fixed"], mode)
                    continue
                if mode["minutes"] and mode["uses"]:
                    interval = m.new_optional_interval_var(self.start[t], mode["minutes"], self.end[t], lit, "")
                    for use in mode["uses"]:
                        self.load[use["resource"]].append((interval, use["amount"]))
                for c, cook in self.cook[t].items():
                    present = self.both(lit, cook) if len(step["modes"]) > 1 else cook
                    for part in mode["hands"]:
                        size = part["to"] - part["from"]
                        interval = m.new_optional_fixed_size_interval_var(self.start[t] + part["from"], size, present, "")
                        self.load[c].append((interval, part["percent"]))
        for stay in p["stays"]:
            self.stay(stay)
        for d, dish in enumerate(p["dishes"]):
            for h, hold in enumerate(dish["holds"]):
                if not hold["uses"]:
                    continue
                if dish["held"] is not None:
                    if dish["held"] == h:
                        self.standing_hold(d, dish, hold)
                    continue
                size = m.new_int_var(0, self.high - self.low, "")
                interval = m.new_optional_interval_var(self.out[d], size, self.served[d], self.hold[d][h], "")
                for use in hold["uses"]:
                    self.load[use["resource"]].append((interval, use["amount"]))
        for r, resource in enumerate(p["resources"]):
            self.cumulative(r, resource)

    def take(self, r, start, end, amount):
        for minute in range(max(start, self.p["start"]), end):
            self.taken[r][minute] = self.taken[r].get(minute, 0) + amount

    def stand(self, fixed, mode):
        for use in mode["uses"]:
            self.take(use["resource"], fixed["start"], fixed["end"], use["amount"])
        if fixed["cook"] is not None:
            for part in mode["hands"]:
                self.take(fixed["cook"], fixed["start"] + part["from"], fixed["start"] + part["to"], part["percent"])

    def standing_hold(self, d, dish, hold):
        """A dish that waits already: all its last loads are done, so its end is known."""
        loads = list(self.loads_of(dish["last_step"]))
        ends = [self.p["tasks"][t]["fixed"]["end"] for t in loads if self.p["tasks"][t]["fixed"]]
        for use in hold["uses"]:
            self.take(use["resource"], ends[0], max(max(ends), dish["due"]), use["amount"])

    def stay(self, stay):
        m = self.m
        use = stay["uses"]
        points = stay["from"] + stay["to"]
        tasks = {pt["task"] for pt in points}
        all_fixed = all(self.p["tasks"][t]["fixed"] for t in tasks)
        through = [(d, h) for d, h in stay["through_hold"]]
        if all_fixed and all(self.p["dishes"][d]["held"] is not None or True for d, _ in through):
            begin = min(self.edge(pt) for pt in stay["from"])
            end = max(self.edge(pt) for pt in stay["to"])
            open_end = False
            for d, h in through:
                dish = self.p["dishes"][d]
                if dish["held"] == h:
                    ends = [self.p["tasks"][t]["fixed"]["end"] for t in self.loads_of(dish["last_step"]) if self.p["tasks"][t]["fixed"]]
                    end = max(end, max(ends), dish["due"])
                elif dish["held"] is None:
                    open_end = True
            if not open_end:
                self.take(use["resource"], begin, end, use["amount"])
                return
        begin, end = self.var(""), self.var("")
        size = m.new_int_var(0, self.high - self.low, "")
        present = self.either([self.active[t] for t in sorted(tasks)])
        for pt in stay["from"]:
            m.add(begin <= self.at(pt)).only_enforce_if(self.active[pt["task"]])
        for pt in stay["to"]:
            m.add(end >= self.at(pt)).only_enforce_if(self.active[pt["task"]])
        for d, h in through:
            m.add(end >= self.served[d]).only_enforce_if(self.hold[d][h])
        interval = m.new_optional_interval_var(begin, size, end, present, "")
        self.load[use["resource"]].append((interval, use["amount"]))

    def edge(self, point):
        fixed = self.p["tasks"][point["task"]]["fixed"]
        return fixed["end"] if point["end"] else fixed["start"]

    def cumulative(self, r, resource):
        m = self.m
        if not self.load[r]:
            return

        def left(minute):
            shut = any(a <= minute < b for a, b in resource["closed"])
            capacity = 0 if shut else resource["capacity"]
            taken = self.taken[r].get(minute, 0)
            return max(capacity - taken, 0)

        most = resource["capacity"]
        intervals = [i for i, _ in self.load[r]]
        amounts = [a for _, a in self.load[r]]
        minute = self.low
        while minute <= self.high:
            have, begin = left(minute), minute
            while minute <= self.high and left(minute) == have:
                minute += 1
            if have < most:
                intervals.append(m.new_fixed_size_interval_var(begin, minute - begin, ""))
                amounts.append(most - have)
        m.add_cumulative(intervals, amounts, most)

    # ---- ovens
    def ovens(self):
        m, p = self.m, self.p
        self.setting = [None] * len(p["tasks"])
        self.hold_setting = {}
        uses = [[] for _ in p["ovens"]]  # (literal, start, end, setting, fixed)
        for t, task in enumerate(p["tasks"]):
            step = p["steps"][task["step"]]
            for k, mode in enumerate(step["modes"]):
                if not mode["oven"] or task["load"] >= mode["loads"]:
                    continue
                o = mode["oven"]
                if task["fixed"]:
                    f = task["fixed"]
                    if f["end"] > p["start"] and f["setting_c"] is not None:
                        uses[o["oven"]].append((self.mode[task["step"]][k], self.start[t], self.end[t], m.new_constant(f["setting_c"]), True))
                    continue
                if self.setting[t] is None:
                    self.setting[t] = m.new_int_var(-300, 1000, f"setting{t}")
                lit = self.mode[task["step"]][k]
                m.add(self.setting[t] >= o["least_c"]).only_enforce_if(lit)
                m.add(self.setting[t] <= o["most_c"]).only_enforce_if(lit)
                uses[o["oven"]].append((lit, self.start[t], self.end[t], self.setting[t], False))
        for d, dish in enumerate(p["dishes"]):
            for h, hold in enumerate(dish["holds"]):
                if not hold["oven"]:
                    continue
                o = hold["oven"]
                if hold["setting_c"] is not None:
                    c = m.new_constant(hold["setting_c"])
                else:
                    c = m.new_int_var(o["least_c"], o["most_c"], f"hold_setting{d}_{h}")
                self.hold_setting[d, h] = c
                waits = m.new_bool_var("")
                m.add(self.served[d] - self.out[d] >= 1).only_enforce_if(waits)
                m.add(self.served[d] - self.out[d] <= 0).only_enforce_if(waits.negated())
                lit = self.both(self.hold[d][h], waits)
                if dish["held"] is not None and self.over_by_now(dish):
                    continue
                uses[o["oven"]].append((lit, self.out[d], self.served[d], c, dish["held"] is not None))
        for o, oven in enumerate(p["ovens"]):
            self.oven(oven, uses[o])

    def over_by_now(self, dish):
        """Is a dish that waits already served at the problem's start, or before?"""
        ends = [self.p["tasks"][t]["fixed"]["end"] for t in self.loads_of(dish["last_step"]) if self.p["tasks"][t]["fixed"]]
        return max([dish["due"]] + ends) <= self.p["start"]

    def turn(self, oven, a, b):
        """Least whole minutes from setting a to setting b."""
        minutes = self.m.new_int_var(0, 4000, "")
        self.m.add(oven["up_c_per_min"] * minutes >= b - a)
        self.m.add(oven["down_c_per_min"] * minutes >= a - b)
        return minutes

    def oven(self, oven, uses):
        m = self.m
        for i, (lit, start, end, c, fixed) in enumerate(uses):
            if not fixed:
                m.add(start - self.p["start"] >= self.turn(oven, oven["start_c"], c)).only_enforce_if(lit)
            for lit2, start2, end2, c2, fixed2 in uses[i + 1:]:
                if fixed and fixed2:
                    continue
                same, before, behind = (m.new_bool_var("") for _ in range(3))
                m.add_bool_or([same, before, behind, lit.negated(), lit2.negated()])
                m.add(c == c2).only_enforce_if(same)
                m.add(start2 >= end + self.turn(oven, c, c2)).only_enforce_if(before)
                m.add(start >= end2 + self.turn(oven, c2, c)).only_enforce_if(behind)

    # ---- effort, change, last end
    def effort(self):
        m, p = self.m, self.p
        span = m.new_int_var(0, self.high - self.low + 200_000, "span")
        first, last, by_cook = {}, {}, {}
        for t, task in enumerate(p["tasks"]):
            if task["fixed"]:
                continue
            step = p["steps"][task["step"]]
            for k, mode in enumerate(step["modes"]):
                if task["load"] >= mode["loads"] or not mode["hands"]:
                    continue
                lit = self.mode[task["step"]][k]
                begin = mode["hands"][0]["from"]
                finish = max(part["to"] for part in mode["hands"])
                work = sum(part["percent"] * (part["to"] - part["from"]) for part in mode["hands"])
                m.add(span >= p["effort_until"] - self.start[t] - begin).only_enforce_if(lit)
                for c, cook in self.cook[t].items():
                    if c not in first:
                        first[c], last[c] = self.var(f"first{c}"), self.var(f"last{c}")
                        m.add(first[c] <= last[c])
                    present = self.both(lit, cook)
                    m.add(first[c] <= self.start[t] + begin).only_enforce_if(present)
                    m.add(last[c] >= self.start[t] + finish).only_enforce_if(present)
                    by_cook.setdefault(c, []).append((work, present))
        if p["span_price"]:
            self.terms.append((p["span_price"], span))
        if p["idle_price"]:
            for c in first:
                self.terms.append((p["idle_price"] * 100, last[c] - first[c]))
                self.terms += [(-p["idle_price"] * work, lit) for work, lit in by_cook[c]]
        for i, link in enumerate(p["links"]):
            hop = m.new_bool_var(f"hop{i}")
            start = self.start[p["steps"][link["to_step"]]["first_task"]]
            m.add(start <= self.ended(link["from_step"], f"ended{i}") + link["least"]).only_enforce_if(hop.negated())
            self.terms.append((link["price"], hop))
        for anchor in p["anchors"]:
            t = anchor["task"]
            self.over(anchor["price"], self.start[t] - anchor["start"], [self.active[t]], "")
            self.terms_back(anchor, t)
            if anchor["mode"]:
                k, price = anchor["mode"]
                other = self.mode[p["tasks"][t]["step"]][k].negated()
                self.terms.append((price, self.both(self.active[t], other)))
        if p["finish_price"]:
            last_end = self.var("last_end")
            for t in range(len(p["tasks"])):
                m.add(last_end >= self.end[t]).only_enforce_if(self.active[t])
            self.terms.append((p["finish_price"], last_end))

    def terms_back(self, anchor, t):
        """The same start, moved the other way: one variable would do, two are plainer."""
        self.over(anchor["price"], anchor["start"] - self.start[t], [self.active[t]], "")

    # ---- a schedule to begin with
    def hint(self, schedule):
        m, p = self.m, self.p
        for s, lits in enumerate(self.mode):
            for k, lit in enumerate(lits):
                m.add_hint(lit, k == schedule["mode"][s])
        for t, task in enumerate(p["tasks"]):
            if task["fixed"]:
                continue
            m.add_hint(self.start[t], schedule["start"][t])
            for c, lit in self.cook[t].items():
                m.add_hint(lit, c == schedule["cook"][t])
            if self.setting[t] is not None and schedule["setting_c"][t] is not None:
                m.add_hint(self.setting[t], schedule["setting_c"][t])
        for d, lits in enumerate(self.hold):
            for h, lit in enumerate(lits):
                m.add_hint(lit, h == schedule["hold"][d])

    # ---- the answer in the shape of Schedule
    def schedule(self, value):
        p = self.p
        mode = [next(k for k, lit in enumerate(lits) if value(lit)) for lits in self.mode]
        cook, setting = [], []
        for t, task in enumerate(p["tasks"]):
            chosen = p["steps"][task["step"]]["modes"][mode[task["step"]]]
            if task["fixed"]:
                cook.append(task["fixed"]["cook"])
                setting.append(task["fixed"]["setting_c"])
                continue
            done = task["load"] < chosen["loads"]
            on = [c for c, lit in self.cook[t].items() if value(lit)] if done and chosen["hands"] else []
            cook.append(on[0] if on else None)
            setting.append(value(self.setting[t]) if done and chosen["oven"] else None)
        hold, hold_setting = [], []
        for d, lits in enumerate(self.hold):
            h = next((h for h, lit in enumerate(lits) if value(lit)), None)
            hold.append(h)
            c = self.hold_setting.get((d, h))
            hold_setting.append(value(c) if c is not None else None)
        return {"mode": mode, "start": [value(s) for s in self.start], "cook": cook, "setting_c": setting,
                "hold": hold, "hold_setting_c": hold_setting}


class Watch(cp_model.CpSolverSolutionCallback):
    def __init__(self):
        super().__init__()
        self.began, self.found = time.perf_counter(), []

    def on_solution_callback(self):
        self.found.append((1000 * (time.perf_counter() - self.began), self.objective_value))


def main():
    flags = argparse.ArgumentParser()
    flags.add_argument("problem")
    flags.add_argument("--seconds", type=float, default=30)
    flags.add_argument("--workers", type=int, default=2)
    flags.add_argument("--schedule")
    flags.add_argument("--hint")
    opts = flags.parse_args()
    with open(opts.problem) as f:
        problem = json.load(f)
    build = Build(problem)
    if opts.hint:
        with open(opts.hint) as f:
            build.hint(json.load(f))
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = opts.seconds
    solver.parameters.num_workers = opts.workers
    watch = Watch()
    status = solver.solve(build.m, watch)
    took = 1000 * (time.perf_counter() - watch.began)
    line = {"status": solver.status_name(status), "cost": None, "bound": None, "ms_first": None, "ms_best": None,
            "ms_proof": round(took, 1) if status in (cp_model.OPTIMAL, cp_model.INFEASIBLE) else None,
            "found": [(round(ms, 1), round(cost)) for ms, cost in watch.found]}
    if status in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        line["cost"] = round(solver.objective_value)
        line["bound"] = round(solver.best_objective_bound)
        line["ms_first"], line["ms_best"] = round(watch.found[0][0], 1), round(watch.found[-1][0], 1)
        if opts.schedule:
            with open(opts.schedule, "w") as f:
                json.dump(build.schedule(solver.value), f)
    print(json.dumps(line))


main()
