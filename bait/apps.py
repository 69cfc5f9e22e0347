from django.apps import AppConfig


class BaitConfig(AppConfig):
    name = "bait"
