"""The building blocks of the schema: strict models, ids, references, and amounts as authors write them."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from typing import Annotated, Any, Literal

from pydantic import (
    BaseModel,
    ConfigDict,
    Discriminator,
    Field,
    GetCoreSchemaHandler,
    GetJsonSchemaHandler,
    StringConstraints,
    Tag,
    ValidationInfo,
    WithJsonSchema,
    model_validator,
)
from pydantic_core import CoreSchema, PydanticCustomError, core_schema

from webapp.trade.units import Kind

from .amounts import Amount, AmountUnclear, read, read_any
from .findings import listed


def written(name: str) -> str:
    """Return a field as authors write it: for_ is `for`, hands_on is `hands-on`."""
    return name.rstrip("_").replace("_", "-")


class Strict(BaseModel):
    """A part of a pack. Keys that are unknown or have no value are noted, and the rest is still checked."""

    model_config = ConfigDict(
        frozen=True,
        extra="ignore",
        alias_generator=written,
        arbitrary_types_allowed=True,
        json_schema_extra={"additionalProperties": False},
    )

    @model_validator(mode="before")
    @classmethod
    def _note_keys(cls, data: Any, info: ValidationInfo) -> Any:
        if not isinstance(data, dict):
            raise PydanticCustomError("not_a_mapping", "not a mapping", {"keys": listed(cls.keys(), 6)})
        if info.context is not None:
            known = cls.keys()
            info.context["unknown"].extend((data, key, cls) for key in data if key not in known)
            info.context["empty"].extend(
                (data, key)
                for key, value in data.items()
                if value is None and key in known and not known[key]
            )
        return data

    @classmethod
    @cache
    def keys(cls) -> dict[str, bool]:
        """Return the keys that authors may write, in the schema's order, and whether each must be there."""
        return {field.alias or name: field.is_required() for name, field in cls.model_fields.items()}


class Refers:
    """Marks a text that must be the id of something declared in one of the named tables."""

    def __init__(self, *tables: str) -> None:
        self.tables = tables


ID = r"^[a-z][a-z0-9]*(-[a-z0-9]+)*$"
Id = Annotated[str, StringConstraints(pattern=ID, max_length=60)]
Text = Annotated[
    str,
    StringConstraints(strip_whitespace=True, min_length=1, max_length=600),
    # an editor that knows YAML takes `class: 8.8` for a number
    WithJsonSchema({"type": ["string", "number"], "minLength": 1, "maxLength": 600}),
]


class OneOrMany:
    """Lets authors write one value where a list is meant."""

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.no_info_before_validator_function(
            lambda value: [value] if isinstance(value, (str, dict)) else value, handler(source)
        )

    def __get_pydantic_json_schema__(
        self, schema: CoreSchema, handler: GetJsonSchemaHandler
    ) -> dict[str, Any]:
        many = handler(schema)
        return {"anyOf": [many["items"], many]}


ONE_OR_MANY = OneOrMany()
REF = StringConstraints(max_length=60)


class AmountOf:
    """Marks a field that holds an amount of one kind, or of any, read by our own grammar."""

    def __init__(self, kind: Kind | Literal["any"], *examples: str, named: bool = False) -> None:
        self.kind, self.examples, self.named = kind, examples, named

    def convert(self, value: Any) -> Amount:
        """Return the amount, or raise what its author should hear."""
        if isinstance(value, Amount):
            return value
        if not isinstance(value, str):
            raise PydanticCustomError("amount", "not an amount", {"example": self.examples[0]})
        try:
            found = read_any(value) if self.kind == "any" else read(value, self.kind)
            return replace(found, named=True) if self.named else found
        except AmountUnclear as unclear:
            raise as_finding(unclear.code, unclear.what, unclear.why, unclear.write) from None

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.no_info_plain_validator_function(
            self.convert,
            serialization=core_schema.plain_serializer_function_ser_schema(lambda value: value.plain()),
        )

    def __get_pydantic_json_schema__(
        self, schema: CoreSchema, handler: GetJsonSchemaHandler
    ) -> dict[str, Any]:
        return {
            "type": "string",
            "title": "Amount" if self.kind == "any" else self.kind.replace("-", " ").capitalize(),
            "description": "A number and its unit" + ("." if self.kind == "any" else f" ({self.kind})."),
            "examples": list(self.examples),
        }


def as_finding(code: str, what: str, why: str, write: str) -> PydanticCustomError:
    """Return the validation error that becomes the finding with these words."""
    return PydanticCustomError("finding", "{what}", {"code": code, "what": what, "why": why, "write": write})


Torque = Annotated[Amount, AmountOf("torque", "25 N·m", "18–20 lbf·ft", "24 N·m (18 lbf·ft)")]
Duration = Annotated[Amount, AmountOf("duration", "10 min", "24 h", "1 h 30 min")]
Length = Annotated[Amount, AmountOf("length", "3 mm", "1/2 in")]
Size = Annotated[Amount, AmountOf("length", "6.8 mm", "17/64 in", named=True)]
"""A size that is a name: of a drill, a bolt or a socket. It is never shown in other units."""


def size_or_name(value: Any) -> str:
    """Return what a drill is: begun with a figure it is a size, so that no slip passes for a name."""
    return "size" if isinstance(value, Amount) or str(value)[:1].isdigit() else "name"


Drill = Annotated[
    Annotated[Size, Tag("size")] | Annotated[Text, Tag("name")],
    Discriminator(size_or_name),
    WithJsonSchema({"type": "string", "examples": ["6.8 mm", "17/64 in", "letter F", "#7"]}),
]
Temperature = Annotated[Amount, AmountOf("temperature", "at most 50 °C", "70 °F")]
Volume = Annotated[Amount, AmountOf("volume", "7.4 L", "8 US qt")]
Pressure = Annotated[Amount, AmountOf("pressure", "at most 10 kPa", "15 psi")]
Angle = Annotated[Amount, AmountOf("angle", "90°", "1/4 turn")]
Share = Annotated[Amount, AmountOf("share", "50 %")]
Mass = Annotated[Amount, AmountOf("mass", "18 kg", "40 lb")]
Speed = Annotated[Amount, AmountOf("speed", "800 rpm")]
Distance = Annotated[Amount, AmountOf("distance", "100 km", "50 mi")]
AnyAmount = Annotated[Amount, AmountOf("any", "at most 50 °C", "12.4–12.8 V", "0.05 mm")]

Count = Annotated[int, Field(ge=1, le=999)]
When = dict[Id, Annotated[list[Id], ONE_OR_MANY, Field(min_length=1)]]
"""Answers under which something holds: every question named must have one of its answers given."""

Texts = Annotated[list[Text], ONE_OR_MANY]
Number = Annotated[int, Field(ge=1, le=500)]
Coordinate = Annotated[float, Field(ge=-100_000, le=100_000, allow_inf_nan=False)]
SignalWord = Literal["danger", "warning", "caution", "notice"]

ItemRef = Annotated[str, REF, Refers("items")]
SourceRef = Annotated[str, REF, Refers("sources")]
FluidRef = Annotated[str, REF, Refers("fluids")]
SealRef = Annotated[str, REF, Refers("sealants", "items")]
ReadingRef = Annotated[str, REF, Refers("readings")]
StepRef = Annotated[str, REF, Refers("steps")]
SealantRef = Annotated[str, REF, Refers("sealants")]
FastenersRef = Annotated[str, REF, Refers("fasteners")]
ScrapRef = Annotated[str, REF, Refers("fasteners", "items")]
CleanerRef = Annotated[str, REF, Refers("consumables", "tools")]
ToolRef = Annotated[str, REF, Refers("tools")]
EnergyRef = Annotated[str, REF, Refers("energy")]
CutRef = Annotated[str, REF, Refers("cuts")]
HandOverRef = Annotated[str, REF, Refers("hand-overs")]
ItemOrFastenersRef = Annotated[str, REF, Refers("items", "fasteners")]
WaitRef = Annotated[str, REF, Refers("waits")]
HazardRef = Annotated[str, REF, Refers("hazards")]
PartRef = Annotated[str, REF, Refers("parts")]
ConsumableRef = Annotated[str, REF, Refers("consumables")]
UseRef = Annotated[str, REF, Refers("fluids", "sealants", "items", "fasteners")]
ProvedRef = Annotated[str, REF, Refers("fluids", "items", "fasteners")]
LicensedRef = Annotated[str, REF, Refers("items", "fluids", "energy")]
