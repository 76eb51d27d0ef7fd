"""What every template may use."""

from practice.models import PracticeProfile


def practice_profile(request) -> dict:
    return {"practice": PracticeProfile.objects.first()}
