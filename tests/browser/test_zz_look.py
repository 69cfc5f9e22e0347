import datetime as dt
from tests.browser.test_bank_offline import open_match, plan_for, re


def test_look(signed_in, lasting_world, axe_violations):
    w = lasting_world
    plan_for(w, "Maud")
    w.club.memberships.create(person=w.captain, role="weigher", match=w.match)
    now = dt.datetime.now(dt.UTC)
    w.match.start_at = now - dt.timedelta(minutes=20)
    w.match.end_at = now + dt.timedelta(hours=4)
    w.match.date = now.date()
    w.match.save()
    import os

    for width in [int(x) for x in os.environ.get("LOOK", "360").split(",")]:
        page = signed_in("maud", width)

        def shot(name, full=False):
            page.screenshot(path=f"/tmp/look-{width}-{name}.png", full_page=full)
            v = axe_violations(page)
            if v:
                print(width, name, *v, sep="\n   ")

        open_match(page)
        shot("match", True)
        page.goto("/bank/#/")
        page.wait_for_timeout(500)
        shot("matches")
        page.goto(f"/bank/#/match/{w.match.pk}/plan")
        page.wait_for_timeout(300)
        shot("plan")
        page.goto(f"/bank/#/match/{w.match.pk}/feed")
        page.wait_for_timeout(300)
        for i in range(3):
            page.get_by_role("button", name="Caster 0.25 pint · long").click()
            page.wait_for_timeout(150)
        shot("feed")
        page.goto(f"/bank/#/match/{w.match.pk}/weigh")
        page.wait_for_timeout(300)
        page.locator("a[href$='/weigh/2']").click()
        page.wait_for_timeout(300)
        for d in "4250":
            page.get_by_role("button", name=d, exact=True).click()
        shot("keypad")
        small = page.evaluate(
            """[...document.querySelectorAll('button,a,input,select,summary')].filter(e=>e.offsetParent).map(e=>[e.innerText||e.name,e.getBoundingClientRect()]).filter(([t,r])=>r.height<47.5||r.width<47.5).map(([t,r])=>`${t} ${r.width}x${r.height}`)"""
        )
        print("small", small)
        keys = page.evaluate(
            "[...document.querySelectorAll('.key')].map(e=>e.getBoundingClientRect()).map(r=>[r.top/innerHeight,r.height,r.bottom])"
        )
        print(keys[0], keys[-1])
        page.get_by_role("button", name=re.compile("^Keep")).click()
        page.wait_for_timeout(300)
        shot("weigh")
        page.locator(".head-light").click()
        page.wait_for_timeout(100)
        shot("weigh-sun")
        page.context.set_offline(True)
        page.wait_for_timeout(300)
        page.goto(f"/bank/#/match/{w.match.pk}/weigh/4")
        page.wait_for_timeout(300)
        for d in "88250":
            page.get_by_role("button", name=d, exact=True).click()
        page.get_by_role("button", name=re.compile("^Keep")).click()
        page.wait_for_timeout(200)
        shot("ask")
        page.get_by_role("button", name="Yes, keep it").click()
        page.wait_for_timeout(300)
        page.goto("/bank/#/phone")
        page.wait_for_timeout(300)
        shot("phone", True)
        page.context.set_offline(False)
        page.wait_for_timeout(1500)
