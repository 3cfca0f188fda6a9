"""A class on one server: a code at the door, a group for each device, and a wall that follows.

What a device is stands in a signed cookie: its group, or that it is the teacher's. A student's
device sees the names of the other groups and none of their readings.
"""

import asyncio
import json
import secrets
import socket
import tomllib
from pathlib import Path

import psutil
from jupyter_server.auth.decorator import allow_unauthenticated
from jupyter_server.auth.identity import IdentityProvider, User
from tornado.web import authenticated

from moonreach.lessons.refuse import Impossible, sentence
from moonreach.notebook import class_wall
from moonreach.notebook.own_page import OwnPage
from moonreach.sheet import writing
from moonreach.sheet.group_sheet import GroupSheet, file_stem, plain_name

WORDS = tomllib.loads(Path(__file__).with_suffix(".toml").read_text(encoding="utf-8"))
COOKIE = "moonreach-class"
MOST = 60  # groups in one folder
SLOWEST = 30  # seconds that a device waits for an answer after many wrong codes
TEACHER = "\N{BULLET} teacher"  # no group's name begins so


class Codes:
    """The codes of a class, and the key of its cookies; kept, so that a new start changes none."""

    def __init__(self, own: Path):
        """Read them from a folder, or make them there."""
        path = own / "class.json"
        try:
            kept = json.loads(path.read_text(encoding="utf-8"))
            self.student, self.teacher, self.key = (kept[n] for n in ("student", "teacher", "key"))
        except (OSError, ValueError, KeyError, TypeError):
            words = WORDS["codes"].split()
            self.student, self.teacher = (
                " ".join(secrets.choice(words) for _ in range(count)) for count in (3, 4)
            )
            self.key = secrets.token_hex(32)
            own.mkdir(parents=True, exist_ok=True)
            writing.replace(path, json.dumps(vars(self)))
            path.chmod(0o600)

    def whose(self, typed: str) -> str | None:
        """Return whose code was typed, letter case and spaces aside: student, teacher, or none."""
        plain = "".join(typed.split()).casefold().encode()
        for whose in ("student", "teacher"):
            if secrets.compare_digest(plain, getattr(self, whose).replace(" ", "").encode()):
                return whose
        return None


class Devices(IdentityProvider):
    """Knows each device by its cookie."""

    auth_enabled = True
    login_available = True

    def get_user(self, handler):
        """Return the device's group as a user; an empty one before it has a group."""
        value = handler.get_signed_cookie(COOKIE, max_age_days=120)
        return None if value is None else User(username=value.decode() or "?")

    def get_handlers(self):
        """Return nothing: the door stands for it."""
        return []


def group_of(handler) -> str | None:
    """Return the group of the device that asks, or nothing."""
    user = handler.current_user
    return None if user is None or user.username in ("?", TEACHER) else user.username


class Room(OwnPage):
    """What the pages of the class have in common."""

    def remember(self, value):
        """Let the device be a group's, the teacher's, or nobody's yet."""
        about = {"httponly": True, "samesite": "Lax", "expires_days": 120}
        self.set_signed_cookie(COOKIE, value, secure=self.request.protocol == "https", **about)

    @property
    def work(self):
        """The folder of the groups' sheets."""
        return Path(self.settings["contents_manager"].root_dir) / "work"

    @property
    def codes(self):
        """The codes of the class."""
        return self.settings["class_codes"]


class Door(Room):
    """Asks for the code; after wrong ones it takes its time, and one at a time.

    A right one takes back only one of them: who has the students' code may guess the teacher's.
    """

    _wrong, _turns = {}, {}

    @allow_unauthenticated
    def get(self):
        """Ask."""
        self.show("door.html", wrong="")

    @allow_unauthenticated
    async def post(self):
        """Let the device in, or say that the code is wrong."""
        who = self.request.remote_ip
        async with self._turns.setdefault(who, asyncio.Lock()):
            if tries := self._wrong.get(who, 0):
                await asyncio.sleep(min(0.25 * 2 ** min(tries, 10), SLOWEST))
            whose = self.codes.whose(self.get_body_argument("code", "")[:200])
            self._wrong[who] = max(tries - 1, 0) if whose else tries + 1
        if whose is None:
            self.set_status(403)
            self.show("door.html", wrong=WORDS["door"]["wrong"])
        else:
            self.remember(TEACHER if whose == "teacher" else "")
            self.redirect(self.base_url + ("wall" if whose == "teacher" else "group"))


class Group(Room):
    """Lets a device choose a group, or found one."""

    @authenticated
    def get(self):
        """Show the groups' names."""
        self.ask("")

    @authenticated
    def post(self):
        """Take the group, and show the lessons."""
        name = self.get_body_argument("group", "") or self.get_body_argument("new", "")
        names = class_wall.groups(self.work)
        try:
            if not name.strip():
                raise Impossible(WORDS["door"]["none"])
            stem = file_stem(name)
            if len(names) >= MOST and stem not in map(file_stem, names):
                raise Impossible(WORDS["door"]["many"].format(MOST))
            group = GroupSheet(self.work, plain_name(name)).group
            class_wall.found(self.work, group)
        except Impossible as refusal:
            self.ask(sentence(refusal))
        except OSError as error:
            self.ask(f"This group cannot be kept now ({error.strerror}). Tell your teacher.")
        else:
            self.remember(group)
            self.redirect(self.base_url)

    def ask(self, remark):
        """Show the names, with a remark."""
        self.show(
            "group.html", names=class_wall.groups(self.work), mine=group_of(self), remark=remark
        )


class Wall(Room):
    """What the projector shows, and with /hints the teacher's own screen."""

    @authenticated
    async def get(self, part=""):
        """Answer with the page, with what it follows, or with the class chart."""
        if self.current_user.username != TEACHER:
            self.redirect(self.base_url + "login")  # it asks for the teacher's code
        elif part == "/now":
            now = await asyncio.to_thread(class_wall.now, self.work)
            self.finish(json.dumps(now))
        elif part == "/chart":
            self.finish(await asyncio.to_thread(class_wall.chart, self.work))
        elif part == "/hints":
            hints = await asyncio.to_thread(class_wall.hints, self.work)
            self.show("hints.html", hints=hints)
        else:
            where = address(self.request)
            told = {"code": self.codes.student, **WORDS["wall"]}
            self.show("wall.html", address=where, qr=class_wall.qr(where), **told)


def handlers(base_url: str) -> list:
    """Return the rules of the class's own pages."""
    rules = [("login", Door), ("group", Group), ("wall(/now|/chart|/hints)?", Wall)]
    return [(base_url + path, handler) for path, handler in rules]


def own_address() -> str:
    """Return this machine's address in its local network; no packet is sent for that."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as asking:
        try:
            asking.connect(("192.0.2.1", 9))  # RFC 5737: an address that is nobody's
            return asking.getsockname()[0]
        except OSError:  # a network without a way out, such as the laptop's own
            parts = [part for own in psutil.net_if_addrs().values() for part in own]
            own = [part.address for part in parts if part.family == socket.AF_INET]
            return next((one for one in own if not one.startswith("127.")), "127.0.0.1")


def address(request) -> str:
    """Return the address that a student's device opens: as it was asked for, from afar."""
    host = request.host
    if host.startswith(("127.", "localhost", "[::1]")):
        host = own_address() + (f":{host.rpartition(':')[2]}" if ":" in host else "")
    return f"{request.protocol}://{host}/"
