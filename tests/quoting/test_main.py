"""The command line of the engine."""

import json
import subprocess
import sys
from typing import Any

import jsonschema
import pytest

from quoting.__main__ import guarded


def run(capsys: pytest.CaptureFixture[str], *arguments: str) -> Any:
    assert guarded(list(arguments)) == 0
    return json.loads(capsys.readouterr().out)


def refused(capsys: pytest.CaptureFixture[str], *arguments: str) -> str:
    with pytest.raises(SystemExit) as caught:
        guarded(list(arguments))
    assert caught.value.code == 2
    return capsys.readouterr().err


@pytest.fixture
def example(capsys, tmp_path):
    path = tmp_path / "request.json"
    path.write_text(json.dumps(run(capsys, "--example")))
    return path


def test_example_is_worked_out_and_fits_the_schema(capsys, example):
    result = run(capsys, str(example))
    schema = run(capsys, "--schema")
    jsonschema.validate(result, {**schema, "$ref": "#/$defs/QuoteResult"})
    option = result["options"][0]
    assert [finding for finding in option["findings"] if finding["level"] == "stop"] == []
    assert option["promise"]["finish_from"] is not None
    assert option["price"]["tax_total"] is not None


def test_same_request_gives_the_same_bytes(capsys, example):
    assert run(capsys, str(example)) == run(capsys, str(example))


def test_runs_as_a_module_without_django(example):
    code = (
        "import runpy, sys; sys.argv = ['quoting', sys.argv[1]]\n"
        "try: runpy.run_module('quoting', run_name='__main__')\n"
        "except SystemExit as stop: assert stop.code == 0, stop.code\n"
        "assert 'django' not in sys.modules, 'django was imported'"
    )
    done = subprocess.run([sys.executable, "-c", code, str(example)], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    assert json.loads(done.stdout)["schema"]


def test_missing_file_is_one_clear_line(capsys, tmp_path):
    assert refused(capsys, str(tmp_path / "none.json")).count("\n") == 1


def test_broken_json_names_the_line(capsys, tmp_path):
    path = tmp_path / "broken.json"
    path.write_text('{\n"day": }')
    assert "line 2" in refused(capsys, str(path))


def test_wrong_field_is_named(capsys, example):
    data = json.loads(example.read_text())
    data["options"][0]["parts"][0]["spec"]["cont_kw"] = "lots"
    example.write_text(json.dumps(data))
    assert "cont_kw" in refused(capsys, str(example))


def test_no_arguments_says_what_to_give(capsys):
    assert "--example" in refused(capsys)
