# SPDX-License-Identifier: Apache-2.0
"""Asks the daemon for the operations of its document and holds each answer against it, for contract.py."""

import http.client
import json
import sys
from dataclasses import dataclass, field
from urllib.parse import quote, urlsplit

NO_SUCH = {"ticket": "T-000900-8", "place": "nowhere", "instrument": "nowhere.load", "run": "R-000900",
           "procedure": "no such procedure", "part": "NO-SUCH-PART", "photo": "H-000900",
           "person": "P-900"}
FOREIGN = "http://bench.example"
# Off is never refused for what a body says.
TAKES_ANY_BODY = {"stop.all"}


@dataclass
class Answer:
    status: int
    media_type: str
    body: bytes
    headers: dict = field(default_factory=dict)

    def value(self):
        return json.loads(self.body) if self.media_type.endswith("json") and self.body else {}


class Caller:
    def __init__(self, url: str, token: str = ""):
        self.reach(url)
        self.token = token
        self.actor = "contract"
        self.document = None
        self.differences: list[str] = []
        self.asked = {"good": set(), "bad": set(), "unauthorised": set()}
        self.count = 0

    def reach(self, url: str) -> "Caller":
        self.authority = urlsplit(url).netloc
        return self

    def is_up(self) -> bool:
        try:
            return self.send("GET", "/healthz", None, {}).status == 200
        except OSError:
            return False

    def send(self, method: str, path: str, body: bytes | None, headers: dict) -> Answer:
        connection = http.client.HTTPConnection(self.authority, timeout=10)
        try:
            connection.request(method, path, body, headers)
            reply = connection.getresponse()
            text = b"" if reply.headers.get("Content-Type") == "text/event-stream" else reply.read()
            return Answer(reply.status, reply.headers.get("Content-Type", ""), text, dict(reply.headers))
        finally:
            connection.close()

    def fetch_document(self) -> dict:
        return self.send("GET", "/api/v1/openapi.json", None, {}).value()

    def path(self, operation, subject: str | None, query: str) -> str:
        path = operation.path
        for hole in operation.holes:
            path = path.replace("{" + hole + "}", quote(subject or "", safe=""))
        return path + (f"?{query}" if query else "")

    def headers(self, operation, without: str = "") -> dict:
        headers = {}
        if operation.is_change():
            headers = {"Leadwright-Actor": self.actor, "Content-Type": "application/json"}
        if self.token:
            headers["Authorization"] = f"Bearer {self.token}"
        headers.pop(without, None)
        return headers

    def ask(self, name: str, subject=None, body=None, query="", headers=None, more=None) -> Answer:
        operation = self.document.operations[name]
        data = None
        if operation.is_change():
            body = operation.example if body is None else body
            data = body if isinstance(body, bytes) else json.dumps(body).encode()
        path = self.path(operation, subject, query)
        headers = {**(self.headers(operation) if headers is None else headers), **(more or {})}
        answer = self.send(operation.method, path, data, headers)
        self.count += 1
        for wrong in self.document.fits(operation, answer):
            self.differences.append(f"{operation.method} {path}: {wrong}: {answer.body[:300]!r}")
        return answer

    def good(self, name: str, subject=None, body=None, query=""):
        operation = self.document.operations[name]
        if operation.is_change() and body is not None:
            for wrong in self.document.mistakes(operation.body, body):
                self.differences.append(f"{name}: a good body is wrong by its schema: {wrong}")
        answer = self.ask(name, subject, body, query)
        if answer.status != operation.good_status:
            sys.exit(f"contract: {name} answered {answer.status}: {answer.body[:500]!r}")
        self.asked["good"].add(name)
        return answer.value()

    def good_stream(self, name: str) -> None:
        """The head of the stream, and its first event against the schema of the whole bench."""
        self.good(name)
        connection = http.client.HTTPConnection(self.authority, timeout=10)
        try:
            connection.request("GET", self.document.operations[name].path, None,
                               self.headers(self.document.operations[name]))
            reply = connection.getresponse()
            lines = []
            while not lines or lines[-1] != "" or not any(line.startswith("data: ") for line in lines):
                lines.append(reply.readline().decode().rstrip("\n"))
        finally:
            connection.close()
        data = next(line for line in lines if line.startswith("data: ")).removeprefix("data: ")
        schema = {"$ref": "#/components/schemas/Bench"}
        for wrong in self.document.mistakes(schema, json.loads(data)):
            self.differences.append(f"{name}: {wrong}")

    def refused(self, name: str, status: int, subject=None, body=None, query="", headers=None,
                why="bad") -> None:
        answer = self.ask(name, subject, body, query, headers)
        if answer.status != status:
            self.differences.append(f"{name}: a {why} request was answered with {answer.status}, not "
                                    f"{status}: {answer.body[:200]!r}")
        self.asked[why].add(name)

    def bad_requests(self, subjects: dict) -> None:
        for name, operation in self.document.operations.items():
            subject = subjects[operation.holes[0]] if operation.holes else None
            if operation.holes:
                self.refused(name, 404, NO_SUCH[operation.holes[0]])
            self.refused(name, 400, subject, query="no_such_parameter=1")
            if operation.is_change():
                self.bad_changes(operation, subject)
            self.unlisted_method(operation, subject)
            host = {**self.headers(operation), "Host": "bench.example"}
            self.refused(name, 421, subject, headers=host, why="unauthorised")

    def unlisted_method(self, operation, subject) -> None:
        path = self.path(operation, subject, "")
        answer = self.send("DELETE", path, None, self.headers(operation))
        schema = {"$ref": "#/components/schemas/Problem"}
        if answer.status != 405 or operation.method not in answer.headers.get("Allow", ""):
            self.differences.append(f"DELETE {path}: {answer.status}, Allow: {answer.headers.get('Allow')}")
        for wrong in self.document.mistakes(schema, answer.value()):
            self.differences.append(f"DELETE {path}: {wrong}")

    def bad_changes(self, operation, subject) -> None:
        name = operation.id
        self.refused(name, 400, subject, headers=self.headers(operation, without="Leadwright-Actor"),
                     why="unauthorised")
        self.refused(name, 403, subject, headers={**self.headers(operation), "Origin": FOREIGN},
                     why="unauthorised")
        self.refused(name, 415, subject, headers=self.headers(operation, without="Content-Type"))
        too_many = 400000 if name == "ticket.photo" else 70000
        self.refused(name, 413, subject, body=b'{"why":"' + b"x" * too_many + b'"}')
        self.refused(name, 400, subject, body=b"[]")
        if name in TAKES_ANY_BODY:
            return
        wrong = {**operation.example, "no_such_key": 1}
        if not self.document.mistakes(operation.body, wrong):
            self.differences.append(f"{name}: its schema takes an unknown key")
        self.refused(name, 400, subject, body=wrong)
        for key in self.document.resolved(operation.body).get("required", []):
            answer = self.ask(name, subject, {k: v for k, v in operation.example.items() if k != key})
            if answer.status < 400:
                self.differences.append(f"{name}: it does not need {key}, which the document requires")

    def expect(self, holds: bool, difference: str) -> None:
        if not holds:
            self.differences.append(difference)

    def all_asked(self) -> None:
        for why, names in self.asked.items():
            for name in self.document.operations:
                if name not in names:
                    self.differences.append(f"{name} was never asked with a {why} request")
