"""Plan the line anew, with a bound on how much better any plan could be.

A list search over the plan's own placing gives a warm start, for lateness by the squeaky wheel; CP-SAT then finds the
least lateness against promises where the wheel left some that could be less, after it the least flow, and last the
least change. Measured: probing and symmetry in the presolve cost the first stage more than they save, so it runs with
light presolve; one thread is as good as several and gives the same plan each time. With 120 builds the wheel reaches
the bound on lateness in two seconds, where the solver alone finds no plan in as long. `run` is imported by workers and
commands only, through `quoting.replanning`.
"""
