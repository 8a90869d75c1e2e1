"""The environment table as people read it: `python3 -m shop.environment_docs readme` and `... example`."""

import sys
import textwrap

from shop.environment import VARIABLES, Variable

LINE_WIDTH = 110
OPTIONAL = {"ALLOWED_HOSTS"}  # empty has a meaning of its own
ENV_HEAD = """\
# Settings of one donorbench installation. Copy to .env, fill in, keep it readable by the service's user only.
# Load it the way your service manager does: systemd has EnvironmentFile=, containers have --env-file; in a shell
# for one command: set -a; . ./.env; set +a
"""


def readme() -> str:
    """A Markdown table, one row a variable."""
    rows = [f"| `{v.name}` | {shown(v)} | {v.help} |" for v in VARIABLES]
    return "\n".join(["| variable | default | what it is for |", "| --- | --- | --- |", *rows, ""])


def shown(variable: Variable) -> str:
    return f"`{variable.default}`" if variable.default else "none"


def example() -> str:
    """An environment file: every variable with its help, commented out where the default will do."""
    return "\n".join([ENV_HEAD, *(block(variable) for variable in VARIABLES)])


def block(variable: Variable) -> str:
    wrapper = textwrap.TextWrapper(
        width=LINE_WIDTH, initial_indent="# ", subsequent_indent="# ", break_on_hyphens=False, break_long_words=False
    )
    to_fill_in = variable.example or not variable.default
    mark = "" if to_fill_in and variable.name not in OPTIONAL else "#"
    help_lines = wrapper.fill(variable.help.replace("`", ""))
    return f"{help_lines}\n{mark}{variable.name}={variable.example or variable.default}\n"


if __name__ == "__main__":
    sys.stdout.write({"readme": readme, "example": example}[sys.argv[1]]())
