//! A finish that no words of a line give and that it has from its neighbours: where no such good is made in it, the good is
//! priced in one that it is made in, and that is told. What is taken over must not take the price away.

use crate::catalog::good::Undecided;
use crate::finding::{Finding, Kind, Weight};
use crate::trade::attribute::{Attr, Value, names};
use crate::trade::category::Category;
use crate::trade::wording;

use super::job::Job;
use super::select::{about, select, title};
use super::spec::{From, Spec};

/// What a finish brings with it.
const OF_FINISH: [Attr; 3] = [names::FINISH, names::LOOK, names::BASE];

/// Chooses without the finish taken over; `None`: it was written, or nothing fits without it either.
pub(super) fn without(
    job: &Job,
    category: Category,
    spec: &mut Spec,
    at: (&str, &[String]),
) -> Option<(Finding, Vec<Undecided>)> {
    let by_rule =
        |attribute: &Attr| spec.attributes.get(attribute).is_none_or(|sourced| matches!(sourced.from, From::Rule(..)));
    let look = spec.value(names::LOOK).cloned()?;
    if !OF_FINISH.iter().all(by_rule) {
        return None;
    }
    let (attributes, selection) = (spec.attributes.clone(), spec.selection.clone());
    spec.attributes.retain(|attribute, _| !OF_FINISH.contains(attribute));
    let open = select(job, category, spec);
    let Some(best) = spec.selection.candidates.first() else {
        (spec.attributes, spec.selection) = (attributes, selection);
        return None;
    };
    let made = best.good.attributes.get(&names::FINISH).map_or(String::new(), |made| format!(": {}", made));
    let says = format!(
        "No {} of the catalog is made in {}, taken over from other lines; it is priced in a finish that it is made in{made}.",
        title(category),
        wording::value(&look)
    );
    let mut finding =
        about(spec, names::FINISH, at, Finding::new("no-good-fits", Kind::Assumption, Weight::Goods, says));
    finding.id = format!("job:{} in {}", category.name(), Value::to_string(&look));
    Some((finding, open))
}
