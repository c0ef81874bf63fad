"""Plain data: values as JSON types, and back."""

from .plain import (
    DATA_FORMAT,
    DATA_TYPES,
    DATA_VERSION,
    DataResult,
    Json,
    Value,
    from_data,
    read_data,
    to_data,
)
from .schema import data_schema

__all__ = (
    "DATA_FORMAT",
    "DATA_TYPES",
    "DATA_VERSION",
    "DataResult",
    "Json",
    "Value",
    "data_schema",
    "from_data",
    "read_data",
    "to_data",
)
