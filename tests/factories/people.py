import factory
from factory.django import DjangoModelFactory

from sessions.clients.models import Client, Person, Project
from sessions.links.models import hash_of
from studio.models import User
from studio.password_links import PasswordLink, Purpose
from studio.roles import Role

PASSWORD = "nine-steps-to-oakum"


class UserFactory(DjangoModelFactory):
    class Meta:
        model = User
        skip_postgeneration_save = True

    username = factory.Sequence(lambda n: f"user{n}")
    role = Role.ENGINEER

    @factory.post_generation
    def password(self, create, extracted, **kwargs):
        self.set_password(extracted or PASSWORD)
        if create:
            self.save()


class PasswordLinkFactory(DjangoModelFactory):
    class Meta:
        model = PasswordLink

    token_hash = factory.Sequence(lambda n: hash_of(f"password {n}"))
    user = factory.SubFactory(UserFactory)
    made_by = factory.SelfAttribute("user")
    purpose = Purpose.RESET


class ClientFactory(DjangoModelFactory):
    class Meta:
        model = Client

    name = factory.Sequence(lambda n: f"Pier {n} Records")


class PersonFactory(DjangoModelFactory):
    class Meta:
        model = Person

    name = factory.Sequence(lambda n: f"Orla Quill {n}")


class ProjectFactory(DjangoModelFactory):
    class Meta:
        model = Project

    client = factory.SubFactory(ClientFactory)
    name = factory.Sequence(lambda n: f"Ninth Tide EP {n}")
    artist = "The Windlass Four"
    file_naming = ""
