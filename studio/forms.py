from django.forms.renderers import TemplatesSetting


class StudioRenderer(TemplatesSetting):
    """Renders every form, field and widget through our own templates (`templates/django/forms/`)."""

    form_template_name = "django/forms/div.html"
    field_template_name = "django/forms/field.html"
