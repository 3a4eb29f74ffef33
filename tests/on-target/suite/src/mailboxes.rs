//! Messages and targets through mailboxes.

use milliglow::fade::Pace;
use milliglow::luminaire::Target;
use milliglow::mailbox::Mailbox;
use milliglow::{Level, Recipe, Share};

use crate::random::Random;
use crate::{Hash, Report};

pub(crate) fn run(report: Report<'_>) {
    let (mut hash, mut random) = (Hash::new(), Random::new(14));
    let messages = Mailbox::<3>::new();
    let targets = Mailbox::<5>::default();
    for _ in 0..2_000 {
        if random.next() % 3 != 0 {
            messages.post(&[random.next(), random.next(), random.next()]);
            targets.post_target(&target(&mut random), Pace::new(random.any_length()));
        }
        if random.next() % 2 == 0 {
            hash.words(messages.take().unwrap_or([7; 3]));
            look(&targets, &mut hash);
            let from = (random.next() % 3 == 0).then(|| Level::from_bits(random.next() as u16));
            targets.post_movement(from, &target(&mut random), Pace::new(random.any_length()));
            let taken = targets.take_movement::<2>();
            let from = taken.and_then(|(from, ..)| from);
            hash.word(from.map_or(7, |level| level.to_bits().into()));
        }
    }
    report("mailboxes", hash.value());
}

fn target(random: &mut Random) -> Target<2> {
    Target {
        level: Level::from_bits(random.next() as u16),
        recipe: Recipe::new([random.next(), random.next()].map(Share::from_bits)),
    }
}

fn look(targets: &Mailbox<5>, hash: &mut Hash) {
    let Some((target, pace)) = targets.take_target::<2>() else {
        return hash.word(0);
    };
    hash.words([target.level.to_bits().into(), pace.steps()]);
    hash.words(target.recipe.shares().map(Share::to_bits));
}
