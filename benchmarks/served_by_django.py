"""The peer: entries in a table of Django, checked by a serializer of Django REST framework, no more."""

from typing import ClassVar

from django.db import models
from django.urls import path
from rest_framework import serializers
from rest_framework.response import Response
from rest_framework.views import APIView


class Entry(models.Model):
    id = models.UUIDField(unique=True)
    seq = models.BigAutoField(primary_key=True)
    survey = models.UUIDField(db_index=True)
    at = models.DateTimeField()
    author = models.TextField()
    device = models.TextField()
    kind = models.TextField()
    body = models.JSONField()
    replaces = models.JSONField()
    why = models.TextField(null=True)

    class Meta:
        app_label = "peer"


class EntrySerializer(serializers.ModelSerializer):
    class Meta:
        model = Entry
        fields: ClassVar = [
            "id",
            "survey",
            "at",
            "author",
            "device",
            "kind",
            "body",
            "replaces",
            "why",
        ]
        # What is held already is passed over by the table's own constraint, as with ours.
        extra_kwargs: ClassVar = {"id": {"validators": []}}


class Entries(APIView):
    def post(self, request):
        sent = EntrySerializer(data=request.data["entries"], many=True)
        sent.is_valid(raise_exception=True)
        Entry.objects.bulk_create(
            [Entry(**each) for each in sent.validated_data], ignore_conflicts=True
        )
        return Response({"held": [each["id"] for each in sent.validated_data]})

    def get(self, request):
        since, limit = int(request.query_params.get("since", 0)), int(request.query_params["limit"])
        found = list(Entry.objects.filter(seq__gt=since).order_by("seq")[:limit])
        cursor = found[-1].seq if found else since
        shown = EntrySerializer(found, many=True).data
        return Response({"entries": shown, "cursor": cursor, "more": len(found) == limit})


urlpatterns = [path("api/entries", Entries.as_view())]
