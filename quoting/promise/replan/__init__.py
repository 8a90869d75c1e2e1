"""Plan the line anew, with a bound on how much better any plan could be.

A list search over the plan's own placing gives a warm start, CP-SAT then finds the least lateness against promises and
after it the least flow. Measured: probing and symmetry in the presolve cost the first stage more than they save, so it
runs with light presolve; one thread is as good as several and gives the same plan each time. `run` is imported by
workers and commands only, through `quoting.replanning`.
"""
