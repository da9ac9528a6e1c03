"""How much a run of the tests tries: what PROPERTY_COUNT means, and what it is without one.

PROPERTY_COUNT is the number of random definitions, and the share of every other large set of cases:
so many of WHOLE are tried. `make test` tries a fortieth, and .ci/run all. A sample is spread over
its set, is the same for the same count, and always has a case of each kind. tests/unit/check.h does
the same for the tests in C.
"""

import os

WHOLE = 20000
COUNT = int(os.environ.get("PROPERTY_COUNT", "500"))


def number(cases, least=1, count=COUNT):
    """How many of so many cases this run tries: `least` or more, where there are so many."""
    part = -(-cases * count // WHOLE)
    return min(cases, max(part, least))


def sample(cases, kind=None, least=1, count=COUNT):
    """The cases that this run tries, in their order.

    `kind` names the kind of a case; of each kind the run tries its share, `least` cases or more.
    """
    cases = list(cases)
    kinds = {}
    for index, case in enumerate(cases):
        kinds.setdefault(kind(case) if kind else None, []).append(index)
    taken = []
    for place, indices in enumerate(kinds.values()):
        part = number(len(indices), least, count)
        # Each kind begins elsewhere, so that the kinds together are spread as well.
        taken += [indices[(step * len(indices) // part + place) % len(indices)]
                  for step in range(part)]
    return [cases[index] for index in sorted(taken)]
