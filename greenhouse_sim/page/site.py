"""The pages and what their addresses do."""

from __future__ import annotations

from pathlib import Path

from flask import Flask, Response, abort, jsonify, redirect, render_template, request, url_for
from werkzeug.exceptions import HTTPException

from greenhouse_sim.errors import ScenarioError
from greenhouse_sim.page.answers import (
    Answers,
    Checked,
    check,
    first_answers,
    plainly,
    read_answers,
    weather_choices,
)
from greenhouse_sim.page.asked import UNITS_CHOICES, WEATHER, demo_text, fields, groups
from greenhouse_sim.page.drawing import Drawing
from greenhouse_sim.page.guard import HEADERS, Guard
from greenhouse_sim.page.runs import Kept, Run, Runs, TooMany
from greenhouse_sim.page.told import BUTTONS
from greenhouse_sim.report.cautions import cautions
from greenhouse_sim.report.words import slug
from greenhouse_sim.weather.find import sample_names

LARGEST_BYTES = 1_000_000
NOTHING = 204
UNPROCESSABLE = 422
BUSY = 503
PICTURE_FRESH_S = 86_400
"""A run's picture never changes: its address is the run's own, which no other ever has."""
WORDS = {
    400: "The program could not make sense of that request.",
    401: "This page needs its user name (grower) and password.",
    403: "That did not come from a page of this program, or from one that was open before it was "
    "started again. Open the form anew and press the button there.",
    404: "There is no such page, or it is no longer kept: the program keeps the last runs until it "
    "is stopped.",
    405: "There is nothing to see at this address.",
    413: "That is too large for a scenario; open a scenario file (.toml) of less than 1 MB.",
    BUSY: "Too many runs are waiting. Wait for some to end, or stop them, then press again.",
}


def make_site(guard: Guard, folder: Path, runs: Runs) -> Flask:
    """The site.

    Parameters
    ----------
    guard
        Who may ask.
    folder
        Where weather files are looked for, beside the samples.
    runs
        The queue that works off what is asked.
    """
    site = Flask("greenhouse_sim.page", static_folder="static", template_folder="templates")
    site.config["MAX_CONTENT_LENGTH"] = LARGEST_BYTES
    site.config["MAX_FORM_MEMORY_SIZE"] = LARGEST_BYTES
    site.jinja_env.trim_blocks = site.jinja_env.lstrip_blocks = True
    opened: Kept[Answers] = Kept()
    _guarded(site, guard)
    _forms(site, guard, folder, opened, runs)
    _runs(site, guard, folder, runs)
    return site


def _guarded(site: Flask, guard: Guard) -> None:
    @site.before_request
    def _look() -> Response | None:
        if guard.unknown_host(request.host):
            abort(400)
        if guard.locked(request.authorization):
            answer = Response(WORDS[401], 401, mimetype="text/plain")
            answer.headers["WWW-Authenticate"] = 'Basic realm="greenhouse", charset="UTF-8"'
            return answer
        token = request.form.get("token", "") if request.method == "POST" else ""
        if guard.foreign(request.method, request.host, request.headers, token):
            abort(403)
        return None

    @site.after_request
    def _sealed(answer: Response) -> Response:
        answer.headers.update(HEADERS)
        answer.headers.setdefault("Cache-Control", "no-cache")
        return answer

    @site.errorhandler(HTTPException)
    def _told(problem: HTTPException) -> tuple[str, int]:
        code = problem.code or 500
        words = WORDS.get(code, "A fault of the program; where it was started, it says more.")
        return render_template("notice.html", code=code, words=words), code


def _forms(site: Flask, guard: Guard, folder: Path, opened: Kept[Answers], runs: Runs) -> None:
    def form(checked: Checked, code: int = 200) -> tuple[str, int]:
        answers = checked.answers
        choices = dict.fromkeys([*weather_choices(folder), *answers.weather])
        page = render_template(
            "form.html", groups=groups(), fields=fields(), answers=answers,
            wrong=checked.wrong, weather=choices, samples=sample_names(), weather_key=WEATHER,
            units=UNITS_CHOICES, buttons=BUTTONS, token=guard.token,
        )  # fmt: skip
        return page, code

    def sent() -> Checked:
        """The form of this request, looked at."""
        base = request.form.get("base", "")
        try:
            answers = read_answers(request.form, request.form.getlist(WEATHER), base)
        except ScenarioError as problem:
            return Checked(first_answers(demo_text()), None, "", {"": str(problem)})
        return check(answers, folder)

    @site.get("/")
    def start() -> tuple[str, int]:
        return form(Checked(first_answers(demo_text()), None, "", {}))

    @site.post("/open")
    def open_file() -> Response | tuple[str, int]:
        file = request.files.get("file")
        data = file.read() if file is not None else b""
        try:
            if not data.strip():
                raise ScenarioError("no file was chosen, or it is empty; choose a scenario (.toml)")
            answers = first_answers(data.decode("utf-8-sig").replace("\r\n", "\n"))
        except UnicodeDecodeError:
            problem = "the file is not UTF-8 text; choose a scenario file (.toml)"
        except ScenarioError as refused:
            problem = str(refused).replace("the form", "the file")
        else:
            return _seen(url_for("opened_form", name=opened.add(answers)))
        return form(Checked(first_answers(demo_text()), None, "", {"": problem}), UNPROCESSABLE)

    @site.get("/favicon.ico")
    def icon() -> tuple[str, int]:
        return "", NOTHING  # browsers ask for it beside what is no page, such as a picture

    @site.get("/opened/<name>")
    def opened_form(name: str) -> tuple[str, int]:
        answers = opened.get(name) or abort(404)
        return form(check(answers, folder))

    @site.get("/run/<name>/form")
    def run_form(name: str) -> tuple[str, int]:
        run = runs.get(name) or abort(404)
        return form(Checked(run.answers, None, "", {}))

    @site.post("/run")
    def start_run() -> Response | tuple[str, int]:
        checked = sent()
        if checked.scenario is None:
            return form(checked, UNPROCESSABLE)
        what = request.form.get("do", "")
        if what not in BUTTONS:
            abort(400)
        try:
            name = runs.start(Run(what, checked.answers, checked.scenario, checked.text))
        except TooMany:
            abort(BUSY)
        return _seen(url_for("show_run", name=name))

    @site.post("/scenario")
    def save() -> Response | tuple[str, int]:
        checked = sent()
        if checked.scenario is None:
            return form(checked, UNPROCESSABLE)
        return _file(checked.text, f"{slug(checked.scenario.site.name)}.toml", "application/toml")


def _runs(site: Flask, guard: Guard, folder: Path, runs: Runs) -> None:
    @site.get("/run/<name>")
    def show_run(name: str) -> str:
        run = runs.get(name) or abort(404)
        return render_template(
            "run.html", run=run, name=name, title=BUTTONS[run.what], buttons=BUTTONS,
            problem=plainly(run.problem, folder), cautions=cautions(), token=guard.token,
        )  # fmt: skip

    @site.get("/run/<name>/state")
    def run_state(name: str) -> Response:
        run = runs.get(name) or abort(404)
        return jsonify(run.progress())

    @site.get("/run/<name>/numbers.json")
    def run_numbers(name: str) -> Response:
        run = runs.get(name) or abort(404)
        if run.found is None:
            abort(404)
        return Response(run.found.json, mimetype="application/json")

    @site.get("/run/<name>/picture/<which>")
    def show_picture(name: str, which: str) -> str:
        run = runs.get(name) or abort(404)
        drawing = _drawing(run, which)
        return render_template("picture.html", run=run, name=name, drawing=drawing)

    @site.get("/run/<name>/picture/<which>/<any(light, dark):look>.svg")
    def picture_file(name: str, which: str, look: str) -> Response:
        run = runs.get(name) or abort(404)
        drawn = _drawing(run, which).svg(dark=look == "dark")
        answer = Response(drawn, mimetype="image/svg+xml")
        answer.headers["Cache-Control"] = f"private, max-age={PICTURE_FRESH_S}, immutable"
        return answer

    @site.get("/run/<name>/scenario.toml")
    def run_scenario(name: str) -> Response:
        run = runs.get(name) or abort(404)
        return _file(run.text, f"{slug(run.scenario.site.name)}.toml", "application/toml")

    @site.post("/run/<name>/stop")
    def stop_run(name: str) -> Response:
        run = runs.get(name) or abort(404)
        run.stop()
        return _seen(url_for("show_run", name=name))


def _drawing(run: Run, which: str) -> Drawing:
    """A picture of a run that is done."""
    found = run.found.drawing(which) if run.found is not None else None
    return found or abort(404)


def _seen(address: str) -> Response:
    """Go on to a page that may be reloaded."""
    answer = redirect(address, 303)
    assert isinstance(answer, Response)
    return answer


def _file(text: str, name: str, kind: str) -> Response:
    answer = Response(text, mimetype=kind)
    answer.headers["Content-Disposition"] = f'attachment; filename="{name}"'
    return answer
