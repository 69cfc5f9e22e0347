"""Rows that belong to a row, read along with it in the same query."""

from __future__ import annotations

import json
from decimal import Decimal
from typing import Any, TypeVar

from django.db.models import F, JSONField, Model, QuerySet, Subquery
from django.db.models.functions import JSONArray

M = TypeVar("M", bound=Model)


class _Exact(json.JSONDecoder):
    """Numbers with a point as decimals."""

    def __init__(self, **options: Any) -> None:
        super().__init__(parse_float=Decimal, **options)


class RowsAlong(Subquery):
    """The `cells` of a queryset's rows, each row a list, as one column of another query.

    `sorted` puts them in order where they begin with what they are to be ordered by: in what order
    they come is the database's affair. Numbers are exact: whole ones int, others Decimal. A choice
    or a text is str; what has another type (dates) goes through `row_made`.
    """

    template = "(SELECT json_group_array(json(cells)) FROM (%(subquery)s) AS along)"

    def __init__(self, rows: QuerySet[Any], *cells: str) -> None:
        asked = rows.order_by().values(cells=JSONArray(*[F(cell) for cell in cells]))
        super().__init__(asked, output_field=JSONField(decoder=_Exact))

    def as_postgresql(self, compiler: Any, connection: Any) -> Any:
        template = "(SELECT coalesce(jsonb_agg(cells), '[]') FROM (%(subquery)s) AS along)"
        return self.as_sql(compiler, connection, template=template)


def columns_of(model: type[Model], path: str) -> list[str]:
    """The cells that make a row of the model, which `path` leads to."""
    return [f"{path}__{field.attname}" for field in model._meta.concrete_fields]


def row_made(model: type[M], cells: list[Any]) -> M:
    """The row that these cells are of (`columns_of`)."""
    fields = model._meta.concrete_fields
    values = [field.to_python(cell) for field, cell in zip(fields, cells, strict=True)]
    return model.from_db("default", [field.attname for field in fields], values)
