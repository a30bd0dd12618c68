//! What is known of one good by attribute: a short ordered list. A line of a schedule speaks of some five attributes, and
//! a tree with room for eleven is a large thing to make for them, a hundred thousand times a second.

use super::attribute::Attr;

/// Values by attribute, in order of the attributes' names.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ByAttr<T>(Vec<(Attr, T)>);

impl<T> Default for ByAttr<T> {
    fn default() -> Self {
        ByAttr(Vec::new())
    }
}

impl<T> ByAttr<T> {
    fn at(&self, attribute: &Attr) -> Result<usize, usize> {
        self.0.binary_search_by(|(known, _)| known.cmp(attribute))
    }

    /// The value of an attribute.
    pub fn get(&self, attribute: &Attr) -> Option<&T> {
        self.at(attribute).ok().map(|at| &self.0[at].1)
    }

    /// Whether an attribute has a value.
    pub fn contains_key(&self, attribute: &Attr) -> bool {
        self.at(attribute).is_ok()
    }

    /// Gives an attribute a value; the one before, if it had one.
    pub fn insert(&mut self, attribute: Attr, value: T) -> Option<T> {
        match self.at(&attribute) {
            Ok(at) => Some(std::mem::replace(&mut self.0[at].1, value)),
            Err(at) => {
                if self.0.is_empty() {
                    self.0.reserve(6);
                }
                self.0.insert(at, (attribute, value));
                None
            }
        }
    }

    /// Gives an attribute a value unless it has one.
    pub fn insert_new(&mut self, attribute: Attr, value: T) {
        if !self.contains_key(&attribute) {
            self.insert(attribute, value);
        }
    }

    /// Takes the value of an attribute away.
    pub fn remove(&mut self, attribute: &Attr) -> Option<T> {
        self.at(attribute).ok().map(|at| self.0.remove(at).1)
    }

    /// Keeps what fits.
    pub fn retain(&mut self, mut fits: impl FnMut(&Attr, &mut T) -> bool) {
        self.0.retain_mut(|(attribute, value)| fits(attribute, value));
    }

    /// Attributes and values, in order.
    pub fn iter(&self) -> impl Iterator<Item = (&Attr, &T)> + Clone {
        self.0.iter().map(|(attribute, value)| (attribute, value))
    }

    /// The attributes, in order.
    pub fn keys(&self) -> impl Iterator<Item = &Attr> {
        self.0.iter().map(|(attribute, _)| attribute)
    }

    /// The values, in order of their attributes.
    pub fn values(&self) -> impl Iterator<Item = &T> + Clone {
        self.0.iter().map(|(_, value)| value)
    }

    /// The values, to be changed.
    pub fn values_mut(&mut self) -> impl Iterator<Item = &mut T> {
        self.0.iter_mut().map(|(_, value)| value)
    }
}

impl<'a, T> IntoIterator for &'a ByAttr<T> {
    type Item = (&'a Attr, &'a T);
    type IntoIter = std::iter::Map<std::slice::Iter<'a, (Attr, T)>, fn(&'a (Attr, T)) -> (&'a Attr, &'a T)>;

    fn into_iter(self) -> Self::IntoIter {
        self.0.iter().map(|(attribute, value)| (attribute, value))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn values_stand_in_order_of_name_and_the_last_one_holds() {
        let mut all = ByAttr::default();
        for (name, value) in [("width", 1), ("finish", 2), ("width", 3)] {
            all.insert(Attr::new(name), value);
        }
        all.insert_new(Attr::new("finish"), 4);
        let found: Vec<(&str, i32)> = all.iter().map(|(name, value)| (name.name(), *value)).collect();
        assert_eq!(found, [("finish", 2), ("width", 3)]);
        assert_eq!(all.remove(&Attr::new("finish")), Some(2));
        assert_eq!((all.get(&Attr::new("finish")), all.get(&Attr::new("width"))), (None, Some(&3)));
    }
}
