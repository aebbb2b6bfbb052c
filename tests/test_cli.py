"""The command `droplight`, as a person or a script meets it."""

import io
import json
import os
import pty
import shlex
import shutil
import signal
import socket
import subprocess
import sys
import time
import urllib.request
from pathlib import Path

import pytest
from click.testing import CliRunner
from pypdf import PdfReader

from webapp import places
from webapp.cli import main
from webapp.figures import FIGURES
from webapp.proof.explain import explanations

PACKS = Path(__file__).parent / "web" / "packs"
WHOLE, MISSPELT = PACKS / "drain-plug", PACKS / "misspelt"
DROPLIGHT = Path(sys.executable).with_name("droplight")


def run(*words):
    """Run the command; what it did not foresee would be raised here."""
    return CliRunner().invoke(main, [str(word) for word in words], catch_exceptions=False)


# --- check


def test_a_whole_pack_is_well():
    done = run("check", WHOLE)
    assert done.exit_code == 0
    assert "drain-plug: compiles, 5 steps" in done.output


def test_a_pack_with_errors_is_not_well_and_says_where_what_why_and_what_to_write():
    done = run("check", MISSPELT)
    assert done.exit_code == 1
    assert "pack.md:4:1: error key-unknown" in done.output
    assert "what   “vehicel” is no key here; did you mean “vehicle”?" in done.output
    assert "misspelt: does not compile; 3 errors" in done.output
    assert "droplight explain CODE" in done.output


def test_one_bad_pack_among_good_ones_is_enough_for_exit_code_1():
    done = run("check", WHOLE, MISSPELT)
    assert done.exit_code == 1
    assert "drain-plug: compiles" in done.output


def test_warnings_alone_are_well(tmp_path):
    folder = tmp_path / "drain-plug"
    folder.mkdir()
    source = (WHOLE / "pack.md").read_text("utf-8")
    spare = source.replace("tools:\n", "tools:\n  spare: {name: a tool that no step uses}\n", 1)
    (folder / "pack.md").write_text(spare, "utf-8")
    done = run("check", folder)
    assert "warning unused" in done.output
    assert done.exit_code == 0


def test_a_pack_is_named_by_its_folder_its_file_or_its_slug(monkeypatch):
    monkeypatch.chdir(WHOLE)
    monkeypatch.setattr(places, "CONTENT", PACKS)
    for name in (WHOLE, WHOLE / "pack.md", ".", "pack.md", "drain-plug"):
        assert run("check", name).exit_code == 0, name


def test_every_pack_that_ships_is_well():
    shipped = sorted(path.parent for path in places.CONTENT.glob("*/pack.md"))
    assert shipped
    done = run("check", *shipped)
    assert done.exit_code == 0, done.output


def test_a_pack_is_called_by_its_folders_name_from_inside_that_folder_too(monkeypatch):
    monkeypatch.chdir(WHOLE)
    assert "drain-plug: compiles" in run("check", ".").output


def test_a_folder_of_packs_is_answered_with_how_its_packs_are_named(monkeypatch):
    monkeypatch.chdir(PACKS.parent)
    done = run("check", "packs")
    assert done.exit_code == 2
    assert "“packs” is a folder of packs, not a pack." in done.output
    assert "packs/* for all, packs/drain-plug for one" in " ".join(done.output.split())


@pytest.mark.parametrize("name", ["no-such-pack", "", "\0", "a" * 5000, "/", "drain-plog"])
def test_a_pack_that_is_not_there_is_wrong_usage_and_says_which_are(name, monkeypatch):
    monkeypatch.setattr(places, "CONTENT", PACKS)
    done = run("check", name)
    assert done.exit_code == 2
    assert "drain-plug" in done.output


def test_a_misspelt_slug_is_answered_with_the_nearest(monkeypatch):
    monkeypatch.setattr(places, "CONTENT", PACKS)
    assert "did you mean “drain-plug”?" in run("check", "drain-plog").output


def test_a_program_reads_the_findings_as_json():
    done = run("check", WHOLE, MISSPELT, "--json")
    whole, misspelt = json.loads(done.output)
    assert done.exit_code == 1
    assert (whole["findings"], len(whole["hash"])) == ([], 16)
    assert misspelt["hash"] is None
    assert {"code", "severity", "place", "shown", "what", "why", "write"} <= misspelt["findings"][0].keys()


def test_findings_are_coloured_in_a_terminal_and_plain_in_a_pipe():
    def colours(output):
        return b"\x1b[" in output

    command = [DROPLIGHT, "check", MISSPELT]
    piped = subprocess.run(command, capture_output=True, check=False)
    assert not colours(piped.stdout)
    ours, theirs = pty.openpty()
    surroundings = os.environ | {"TERM": "xterm-256color"}
    surroundings.pop("NO_COLOR", None)
    with subprocess.Popen(command, stdout=theirs, stderr=theirs, env=surroundings) as shown:
        os.close(theirs)
        seen = b""
        try:
            while part := os.read(ours, 65536):
                seen += part
        except OSError:  # the other end is closed: all is read
            pass
        assert shown.wait(timeout=20) == 1
    os.close(ours)
    assert colours(seen)
    assert "did you mean “vehicle”?".encode() in seen


# --- explain, schema


@pytest.mark.parametrize("code", explanations())
def test_every_code_is_explained_with_a_wrong_and_a_right_writing(code):
    done = run("explain", code)
    assert done.exit_code == 0
    known = explanations()[code]
    for part in (code, known.title, known.why, known.severity, known.checks, known.accept, "wrong", "right"):
        assert part in done.output


def test_what_could_hurt_somebody_is_explained_as_never_accepted():
    assert "accepted  never" in run("explain", "R17").output
    assert "accepted  with a reason" in run("explain", "R02").output


def test_an_unknown_code_is_wrong_usage_and_answered_with_the_nearest():
    done = run("explain", "key-unknwon")
    assert done.exit_code == 2
    assert "did you mean “key-unknown”?" in done.output


def test_the_schema_is_printed_as_json():
    done = run("schema")
    assert done.exit_code == 0
    assert json.loads(done.output)["$schema"].endswith("2020-12/schema")


# --- sheet


def test_a_sheet_is_written_for_the_answers_given(tmp_path):
    out = tmp_path / "sheet.pdf"
    done = run("sheet", WHOLE, "-o", out, "--answer", "tray=none", "--units", "both", "--paper", "letter")
    assert done.exit_code == 0, done.output
    pages = PdfReader(out).pages
    assert (pages[0].mediabox.width, pages[0].mediabox.height) == (612, 792)  # 8.5 by 11 in, 72 points each
    text = "".join(page.extract_text() for page in pages)
    assert "New washer" in text
    assert "Tray on again" not in text


def test_no_sheet_is_written_from_a_pack_with_errors(tmp_path):
    done = run("sheet", MISSPELT, "-o", tmp_path / "sheet.pdf")
    assert done.exit_code == 1
    assert "error key-unknown" in done.output
    assert not (tmp_path / "sheet.pdf").exists()


@pytest.mark.parametrize("answer", ["tray=maybe", "tray", "trey=none", "=", "tray="])
def test_an_answer_that_the_pack_does_not_know_is_wrong_usage_and_says_which_it_does(tmp_path, answer):
    done = run("sheet", WHOLE, "-o", tmp_path / "sheet.pdf", "--answer", answer)
    assert done.exit_code == 2
    assert "fitted" in done.output


@pytest.mark.parametrize("folder", ["no-such-folder", "a" * 5000])
def test_a_folder_that_is_not_there_is_said_before_any_work_is_done(tmp_path, monkeypatch, folder):
    from webapp import cli

    compiled = []
    monkeypatch.setattr(cli, "compile_folder", compiled.append)
    done = run("sheet", WHOLE, "-o", tmp_path / folder / "sheet.pdf")
    assert done.exit_code == 2
    assert f"the folder {tmp_path / folder} does not exist" in done.output
    assert compiled == []


def test_a_sheet_goes_to_standard_output_when_asked_and_nothing_else_does(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    done = run("sheet", WHOLE, "-o", "-")
    assert done.exit_code == 0
    assert len(PdfReader(io.BytesIO(done.stdout_bytes)).pages) > 0
    assert done.stdout_bytes.rstrip().endswith(b"%%EOF")
    assert list(tmp_path.iterdir()) == []


def test_without_pango_the_sentence_names_what_to_install(tmp_path):
    """WeasyPrint fails with OSError, not ImportError, when the library is missing."""
    (tmp_path / "weasyprint.py").write_text('raise OSError("cannot load library libpango-1.0-0")', "utf-8")
    done = subprocess.run(
        [DROPLIGHT, "sheet", WHOLE, "-o", tmp_path / "sheet.pdf"],
        env=os.environ | {"PYTHONPATH": str(tmp_path)},
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 1
    assert "libpango-1.0-0" in done.stderr
    assert "libpangoft2-1.0-0" in done.stderr
    assert "Traceback" not in done.stderr


# --- serve


@pytest.fixture
def port():
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        return free.getsockname()[1]


def answers(port, address="127.0.0.1"):
    try:
        with urllib.request.urlopen(f"http://{address}:{port}/", timeout=5) as response:
            return response.read().decode()
    except OSError:
        return None


@pytest.mark.parametrize("how", [signal.SIGINT, signal.SIGHUP], ids=["ctrl-c", "terminal-closed"])
def test_serving_prints_the_address_answers_there_and_stops_quietly_with_its_terminal(port, how):
    with subprocess.Popen(
        [DROPLIGHT, "serve", "--port", str(port), "--packs", PACKS],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        start_new_session=True,
    ) as server:
        first = server.stdout.readline()
        assert f"http://127.0.0.1:{port}/" in first
        last = time.monotonic() + 30
        while not (shelf := answers(port)) and time.monotonic() < last:
            time.sleep(0.05)
        assert "Renew the drain plug washer" in shelf
        os.killpg(server.pid, how)  # as a terminal does it: to every process of the group
        try:
            said, complained = server.communicate(timeout=20)
        finally:
            server.kill()
    assert server.returncode == 0
    assert (said, complained) == ("", "")
    assert answers(port) is None


def test_nobody_else_on_the_network_is_answered(port):
    """The server listens on loopback and nowhere else."""
    with subprocess.Popen(
        [DROPLIGHT, "serve", "--port", str(port), "--packs", PACKS], stdout=subprocess.PIPE, text=True
    ) as server:
        server.stdout.readline()
        while not answers(port):
            assert server.poll() is None
        listening = [
            line.split()[1]
            for name in ("tcp", "tcp6")
            for line in Path(f"/proc/net/{name}").read_text().splitlines()[1:]
            if line.split()[3] == "0A" and line.split()[1].endswith(f":{port:04X}")
        ]
        server.send_signal(signal.SIGINT)
        server.wait(timeout=20)
    assert listening == [f"0100007F:{port:04X}"]


def test_a_port_in_use_is_said_in_a_sentence(port):
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", port))
        taken.listen()
        done = run("serve", "--port", port, "--packs", PACKS)
    assert done.exit_code == 2
    assert f"Port {port} cannot be had: another program uses it." in done.output
    assert f"make run PORT={port + 1}" in " ".join(done.output.split())


@pytest.mark.parametrize("given, served", [(["PORT=8400"], "serve --port 8400"), ([], "serve")])
def test_make_run_takes_the_port(pytestconfig, given, served):
    """`make -n` prints what it would do."""
    planned = subprocess.run(
        ["make", "-n", "run", *given],
        cwd=pytestconfig.rootpath,
        env={"PATH": os.environ["PATH"]},
        capture_output=True,
        text=True,
        check=True,
    )
    assert planned.stdout.rstrip().endswith(f"droplight {served}")


@pytest.mark.parametrize(
    "wrong", [["--port", "0"], ["--port", "70000"], ["--packs", "/no/such/folder"], ["--lan"]]
)
def test_wrong_usage_of_serve_is_exit_code_2(wrong):
    assert run("serve", *wrong).exit_code == 2


def test_the_version_is_that_of_the_package():
    from webapp import __version__

    assert run("--version").output == f"droplight {__version__}\n"


def test_every_command_says_what_it_is_for():
    listed = run("--help").output
    for name, command in main.commands.items():
        assert name in listed
        assert command.help


def test_nothing_that_a_reader_of_packs_runs_leaves_files_behind(tmp_path, monkeypatch):
    shutil.copytree(WHOLE, tmp_path / "drain-plug")
    monkeypatch.chdir(tmp_path)
    run("check", "drain-plug")
    assert [path.name for path in tmp_path.rglob("*")] == ["drain-plug", "pack.md"]


# --- figure


def test_the_figures_are_listed_with_what_they_are_for():
    done = run("figure")
    assert done.exit_code == 0
    for declared in FIGURES:
        assert declared.name in done.output
        assert declared.title in done.output


@pytest.mark.parametrize("declared", FIGURES, ids=lambda declared: declared.name)
def test_the_example_a_figure_gives_is_a_command_that_answers(declared):
    asked = run("figure", declared.name)
    assert asked.exit_code == 0
    for ask in declared.asks:
        assert ask.ask in asked.output
    _, _, example = asked.output.partition("For example: droplight ")
    done = run(*shlex.split(example))
    assert done.exit_code == 0
    for part in ("Working", "Source", "Holds for"):
        assert f"\n{part}\n" in done.output


@pytest.mark.parametrize("declared", FIGURES, ids=lambda declared: declared.name)
def test_a_program_gets_the_answer_as_json(declared):
    words = [f"{ask.name}={ask.example}" for ask in declared.asks if ask.example]
    done = run("figure", declared.name, *words, "--json")
    assert done.exit_code == 0
    answer = json.loads(done.stdout)
    assert answer["value"]
    assert answer["source"]


def test_a_program_can_read_what_figures_there_are_and_what_they_ask():
    assert [one["name"] for one in json.loads(run("figure", "--json").stdout)] == [f.name for f in FIGURES]
    asked = json.loads(run("figure", "tap-drill", "--json").stdout)["asks"]
    assert [ask["name"] for ask in asked][:1] == ["thread"]


def test_what_cannot_be_read_is_wrong_usage_and_said_field_by_field():
    done = run("figure", "drill", "diameter=8,5 mm", "drawer=metrc")
    assert done.exit_code == 2
    assert done.stdout == ""
    assert "diameter\n  what   “8,5 mm” may be 8.5 or 85" in done.stderr
    assert "drawer\n  what   “metrc” is none of the choices; did you mean “metric”?" in done.stderr
    found = json.loads(run("figure", "drill", "diameter=8,5 mm", "drawer=metrc", "--json").stdout)
    assert {problem["field"] for problem in found["problems"]} >= {"diameter", "drawer"}


def test_where_there_is_no_honest_answer_the_exit_code_is_1():
    done = run("figure", "tap-drill", "thread=M8", "drawer=metric", "share=5 %")
    assert done.exit_code == 1
    assert done.stdout == ""
    assert "No honest answer\n  what " in done.stderr
    refused = run("figure", "tap-drill", "thread=M8", "drawer=metric", "share=5 %", "--json")
    assert refused.exit_code == 1
    assert json.loads(refused.stdout)["refused"]["write"]


@pytest.mark.parametrize(
    "words, said",
    [
        (["figure", "tap-dril"], "did you mean “tap-drill”?"),
        (["figure", "tap-drill", "M8"], "“M8” is not ASK=TEXT"),
        (["figure", "tap-drill", "thread=M8", "thread=M6"], "given twice"),
        (["figure", "tap-drill", "thred=M8"], "did you mean “thread”?"),
    ],
)
def test_a_slip_in_a_command_is_asked_back(words, said):
    done = run(*words)
    assert done.exit_code == 2
    assert said in done.stderr


def test_an_answer_says_its_figures_in_both_systems():
    assert "8 mm  (0.315 in)" in run("figure", "tap-drill", "thread=M8", "drawer=metric").output
