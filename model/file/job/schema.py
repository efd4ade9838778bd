"""JSON Schema of a job file, for editors that know Draft 4 or Draft 7: nothing newer is used."""

from decimal import Decimal
from typing import Any

from pydantic import BaseModel
from pydantic.json_schema import GenerateJsonSchema, JsonSchemaValue
from pydantic_core import core_schema

from pelmet.model.file.toml.shape import file_keys
from pelmet.model.job.job import Job
from pelmet.model.job.region_words import words_of
from pelmet.model.job.scalars import plain_number

_DIALECT = "http://json-schema.org/draft-07/schema#"
_NAMED = ("properties", "definitions")  # what stands under these are names, not keywords


def job_schema() -> dict[str, Any]:
    """Give the JSON Schema of a job file, its keys in file order."""
    made = Job.model_json_schema(
        by_alias=True, ref_template="#/definitions/{model}", schema_generator=_FileSchema
    )
    plain: dict[str, Any] = _down_level(made)
    definitions = plain.pop("$defs")
    named = {name: _down_level(schema) for name, schema in definitions.items()}
    schema = {"$schema": _DIALECT, **plain, "definitions": named}
    schema["required"] = ["schema"]  # a Job made by the program has it by default; a file says it
    return schema


class _FileSchema(GenerateJsonSchema):
    """What pydantic makes, as TOML has it: no null, numbers as numbers, keys in file order."""

    def model_schema(self, schema: core_schema.ModelSchema) -> JsonSchemaValue:
        made = _in_plain_words(super().model_schema(schema))
        model: type[BaseModel] = schema["cls"]
        made["properties"] = {key: made["properties"][key] for key in file_keys(model)}
        return made

    def nullable_schema(self, schema: core_schema.NullableSchema) -> JsonSchemaValue:
        return self.generate_inner(schema["schema"])

    def encode_default(self, dft: Any) -> Any:
        if isinstance(dft, Decimal):
            number = plain_number(dft)
            return number if isinstance(number, int) else float(number)
        return super().encode_default(dft)

    def sort(
        self,
        value: JsonSchemaValue,
        parent_key: str | None = None,  # noqa: ARG002 - the base class has it
    ) -> JsonSchemaValue:
        return value  # as it comes: in file order, not by name


def _in_plain_words(made: JsonSchemaValue) -> JsonSchemaValue:
    """Name what is called otherwise in some regions as a file of no region is told of."""
    for field in made["properties"].values():
        for key in {"title", "description"} & field.keys():
            field[key] = words_of("eu").said(field[key])
    return made


def _down_level(schema: Any) -> Any:
    """Say the same in words that Draft 4 knows; examples go, for they are what a form takes."""
    if isinstance(schema, list):
        return [_down_level(one) for one in schema]
    if not isinstance(schema, dict):
        return schema
    plain: dict[str, Any] = {}
    for key, value in schema.items():
        if key in _NAMED:
            plain[key] = {name: _down_level(one) for name, one in value.items()}
        elif key == "const":
            plain["enum"] = [value]
        elif key == "default":
            if not isinstance(value, dict | None):
                plain[key] = value
        elif key != "examples":
            plain[key] = value if key == "$defs" else _down_level(value)
    if "$ref" in plain and len(plain) > 1:  # these drafts heed nothing beside a $ref
        plain["allOf"] = [{"$ref": plain.pop("$ref")}]
    return plain
