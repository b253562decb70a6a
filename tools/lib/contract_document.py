# SPDX-License-Identifier: Apache-2.0
"""An OpenAPI 3.1 document: is it sound in itself, and does an answer fit it? Used by contract.py."""

import itertools
import json
import re

from jsonschema import Draft202012Validator, FormatChecker, RefResolver, SchemaError

RFC_3339 = re.compile(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d(\.\d+)?Z")
MISTAKES_SHOWN = 3
HOLE = re.compile(r"\{(\w+)\}")
FORMATS = FormatChecker(formats=())


@FORMATS.checks("date-time")
def is_instant(value) -> bool:
    return not isinstance(value, str) or bool(RFC_3339.fullmatch(value))


class Operation:
    def __init__(self, document: "Document", method: str, path: str, text: dict):
        self.method, self.path, self.text = method.upper(), path, text
        self.id = text.get("operationId", f"{method} {path}")
        self.holes = HOLE.findall(path)
        self.parameters = [document.resolved(each) for each in text.get("parameters", [])]
        body = text.get("requestBody", {}).get("content", {}).get("application/json", {})
        self.body, self.example = body.get("schema"), body.get("example")
        self.answers = {int(status): document.resolved(each) for status, each in text["responses"].items()}
        self.good_status = min(self.answers)

    def needs(self) -> str | None:
        """The lowest rank of a token that may ask for it; none if it needs no token."""
        security = self.text.get("security", [])
        return security[0]["token"][0] if security else None

    def is_change(self) -> bool:
        return self.method == "POST"


class Document:
    def __init__(self, text: dict):
        self.text = text
        self.differences: list[str] = []
        self.resolver = RefResolver("", text)
        self.used: set[str] = set()
        self.operations = {}
        for path, item in text["paths"].items():
            for method, operation in item.items():
                made = Operation(self, method, path, operation)
                if made.id in self.operations:
                    self.say(f"two operations are called {made.id}")
                self.operations[made.id] = made

    def say(self, what: str) -> None:
        self.differences.append(what)

    def resolved(self, part: dict) -> dict:
        while "$ref" in part:
            part = self.resolver.resolve(part["$ref"])[1]
        return part

    def mistakes(self, schema: dict, value) -> list[str]:
        validator = Draft202012Validator(schema, resolver=self.resolver, format_checker=FORMATS)
        errors = itertools.islice(validator.iter_errors(value), MISTAKES_SHOWN)
        return [f"{error.json_path}: {error.message[:200]}" for error in errors]

    def lint(self) -> None:
        if not self.text["openapi"].startswith("3.1."):
            self.say(f"not OpenAPI 3.1: {self.text['openapi']}")
        self.find_references(self.text)
        for kind, parts in self.text["components"].items():
            for name in parts:
                if kind != "securitySchemes" and f"#/components/{kind}/{name}" not in self.used:
                    self.say(f"nothing refers to {kind}/{name}")
        for name, schema in self.text["components"]["schemas"].items():
            try:
                Draft202012Validator.check_schema(schema)
            except SchemaError as error:
                self.say(f"schema {name}: {error.message}")
            if not schema.get("description"):
                self.say(f"schema {name} is not described")
            for example in schema.get("examples", []):
                for mistake in self.mistakes(schema, example):
                    self.say(f"example of {name}: {mistake}")
        for operation in self.operations.values():
            self.lint_operation(operation)

    def find_references(self, part) -> None:
        if isinstance(part, dict):
            reference = part.get("$ref")
            if isinstance(reference, str):
                self.used.add(reference)
                try:
                    self.resolver.resolve(reference)
                except Exception:  # noqa: BLE001 # whatever it is called in this version
                    self.say(f"{reference} leads nowhere")
            for each in part.values():
                self.find_references(each)
        elif isinstance(part, list):
            for each in part:
                self.find_references(each)

    def lint_operation(self, operation: Operation) -> None:
        in_path = [each["name"] for each in operation.parameters if each["in"] == "path"]
        if in_path != operation.holes:
            self.say(f"{operation.id}: the path has {operation.holes}, its parameters are {in_path}")
        if not operation.text.get("summary", "").endswith("."):
            self.say(f"{operation.id}: no sentence says what it does")
        if not 200 <= operation.good_status < 300:
            self.say(f"{operation.id}: no answer is a success")
        for each in operation.parameters:
            for mistake in self.mistakes(each["schema"], each["example"]):
                self.say(f"{operation.id}: example of {each['name']}: {mistake}")
        if operation.is_change() and operation.body is None:
            self.say(f"{operation.id}: a change without a body")
        for status, answer in operation.answers.items():
            if status >= 400 and list(answer["content"]) != ["application/problem+json"]:
                self.say(f"{operation.id}: {status} is no problem details")

    def wrong_headers(self, documented: dict, answer) -> list[str]:
        wrong = []
        for name, header in documented.get("headers", {}).items():
            header = self.resolved(header)
            value = answer.headers.get(name)
            if value is not None:
                wrong += [f"{name}: {mistake}" for mistake in self.mistakes(header["schema"], value)]
            elif header.get("required"):
                wrong.append(f"no header {name}")
        return wrong

    def fits(self, operation: Operation, answer) -> list[str]:
        """What is wrong with an answer, of contract_calls."""
        documented = operation.answers.get(answer.status)
        if documented is None:
            return [f"status {answer.status} is not documented"]
        wrong = self.wrong_headers(documented, answer)
        if wrong:
            return wrong
        content = documented.get("content", {})
        if not content:
            return [] if not answer.body else ["a body is not documented"]
        media = content.get(answer.media_type)
        if media is None:
            return [f"media type {answer.media_type!r} is not among {list(content)}"]
        if answer.media_type == "text/event-stream":
            return []
        if not answer.media_type.endswith("json"):
            return [] if answer.body else ["the answer is empty"]
        value = json.loads(answer.body)
        wrong = self.mistakes(media["schema"], value)
        if answer.status >= 400 and value.get("status") != answer.status:
            wrong.append("the problem states another status")
        return wrong
