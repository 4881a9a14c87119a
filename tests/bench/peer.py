"""Asks a general library for Bayesian networks what our engine was asked, and compares.

usage: peer.py FILE.json, the file that the bench `peer` of jarlight-rules wrote.
"""

import itertools
import json
import statistics
import sys
import time

import pyagrum as gum

data = json.load(open(sys.argv[1], encoding="utf-8"))
causes, findings = data["causes"], data["findings"]
net = gum.BayesNet()
for cause in causes:
    net.add(gum.LabelizedVariable(cause["id"], "", 2))
for child in causes:
    for parent, _ in child["parents"]:
        net.addArc(causes[parent]["id"], child["id"])
for cause in causes:
    names = [causes[p]["id"] for p, _ in cause["parents"]]
    for state in itertools.product([0, 1], repeat=len(names)):
        factor = 1.0
        for (_, f), here in zip(cause["parents"], state):
            factor *= f if here else 1.0
        p = cause["prior"]
        q = p * factor / (1 - p + p * factor)
        net.cpt(cause["id"])[dict(zip(names, state))] = [1 - q, q]
for finding in findings:
    net.add(gum.LabelizedVariable(finding["id"], "", 2))
    names = [causes[c]["id"] for c, _ in finding["links"]]
    for name in names:
        net.addArc(name, finding["id"])
    for state in itertools.product([0, 1], repeat=len(names)):
        absent = 1 - finding["leak"]
        for (_, w), here in zip(finding["links"], state):
            absent *= (1 - w) if here else 1.0
        net.cpt(finding["id"])[dict(zip(names, state))] = [absent, 1 - absent]
evidence = {f["id"]: int(f["present"]) for f in findings}


def ask(engine_type):
    """Posteriors and the median time of one whole question, evidence set anew."""
    times = []
    for _ in range(7):
        engine = engine_type(net)
        start = time.perf_counter()
        engine.setEvidence(evidence)
        engine.makeInference()
        answer = [engine.posterior(c["id"])[1] for c in causes]
        times.append(time.perf_counter() - start)
    return answer, statistics.median(times)


results = []
for kind in (gum.LazyPropagation, gum.VariableElimination):
    answer, seconds = ask(kind)
    worst = max(abs(a - c["posterior"]) for a, c in zip(answer, causes))
    results.append((seconds, kind.__name__, worst))
    print(f"pyagrum {gum.__version__} {kind.__name__}, default settings: {seconds * 1e3:.3f} ms, "
          f"largest difference of a posterior {worst:.1e}")
    if worst > 1e-9:
        sys.exit("the answers differ")
best = min(results)
print(f"the engine takes {data['seconds'] * 1e3:.4f} ms; {best[1]} takes {best[0] / data['seconds']:.0f} times as long")
