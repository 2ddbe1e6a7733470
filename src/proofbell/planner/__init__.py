"""The general scheduler: what may begin when, on few hands and one oven. It knows no bread and reads no clock.

What is asked (``problem``): chains of steps, each step with a shortest, a wanted and a longest length, some of them in
need of hands or of the oven; and what has happened so far. What is answered: when every step begins and ends. In a
textbook a chain is a *job*, a step an *operation*; hands and oven are the *resources* of a *job shop* with
*sequence-dependent set-up times* (the oven takes time from one heat to another), and ``late_s`` is *tardiness*. What
makes one answer better than another is the objective (``objective``).

How it is answered, from the inside out. Sources are named from memory; each word can be looked up.

Constraint network (``solver/network``, ``solver/time_network``)
    Begins and ends are points in time; arcs between them say how far apart they may be and what that costs.
    Dechter, Meiri and Pearl, "Temporal constraint networks", Artificial Intelligence 49, 1991.
Network simplex (``solver/network_simplex``)
    The cheapest times that such a network allows: a linear programme, the dual of a minimum-cost flow, solved by moving
    one arc into a spanning tree and another out of it. Ahuja, Magnanti and Orlin, Network Flows, 1993, ch. 9 and 11.
Partial schedule (``solver/partial_schedule``, ``solver/resources``)
    A network with some uses of hands and oven put in order, by arcs of their own, and the rest left open: *precedence
    constraint posting*. Cesta, Oddi and Smith, "A constraint-based method for project scheduling with time windows",
    Journal of Heuristics 8, 2002.
Conflict selection (``solver/conflicts``)
    Where the times ask for more hands or oven than there is, and which two uses to put in order next.
Branch and bound (``solver/branch_and_bound``)
    Tries both orders of such a pair, the cheaper first, and leaves out what, by a *lower bound*, cannot be cheaper than
    the best answer so far (the *incumbent*). A *reference order* settles pairs that are not in question. Land and Doig,
    "An automatic method of solving discrete programming problems", Econometrica 28, 1960.
Greedy insertion (``greedy``, ``construction``)
    A first answer at once: one chain after another goes where there is room (*serial schedule generation*). Kolisch,
    "Serial and parallel resource-constrained project scheduling methods revisited", European Journal of Operational
    Research 90, 1996.
Large-neighbourhood search (``search``, ``solver/neighbourhood``)
    Takes a few chains out (*destroy*), puts them back better (*repair*), accepts a worse answer within a threshold.
    Shaw, "Using constraint programming and local search methods to solve vehicle routing problems", CP 1998; Dueck
    and Scheuer, "Threshold accepting", Journal of Computational Physics 90, 1990.
Symmetry breaking (``symmetry``)
    Of chains that are alike, the first letter begins first.
Schedule repair (``repair/replan``, ``repair/repair``, ``repair/reversal``)
    When something went otherwise: reverse *critical* decisions, those that force a violation, one by one; or show
    that no order is left. Reversal along a critical path: van Laarhoven, Aarts and Lenstra, "Job shop scheduling by
    simulated annealing", Operations Research 40, 1992.
Schedule stability, minimal perturbation (``repair/stability``, ``repair/minimal_change``)
    Of good answers the one that moves least of what people rely on. El Sakkout and Wallace, "Probe backtrack search for
    minimal perturbation in dynamic scheduling", Constraints 5, 2000.

Also here: ``alone`` (each chain as if hands and oven were its own), ``insertion`` (a first plan around quiet spans),
``reasons`` and ``clashes`` (why not as wanted: by itself, or which two steps stand in each other's way, and what would
help), ``oven_timeline`` (the oven's day). Words that run through it: *violation*, seconds outside what is allowed;
*deviation*, seconds off the wanted length; *feasible*, without violation.

``python -m tests.benchmarks.plan_gap`` holds the answers against an exact solver.
"""
