//! The resources of ADE that we write. Field for field the standard's; what is `None` is left out,
//! because the standard has no nulls.

use serde::Serialize;
use serde_json::Value;

/// Something named within a scheme.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Identifier {
    /// The scheme, in reverse domain form.
    pub scheme: String,
    /// The name within it.
    pub id: String,
}

/// Where an event comes from.
#[derive(Clone, Debug, Serialize)]
#[serde(rename_all = "camelCase")]
pub(super) struct Meta {
    pub(super) source: String,
    pub(super) source_id: String,
    pub(super) modified: String,
}

/// What all events share, and what each has of its own.
#[derive(Clone, Debug, Serialize)]
#[serde(rename_all = "camelCase")]
pub(super) struct Event<T> {
    pub(super) resource_type: &'static str,
    pub(super) meta: Meta,
    pub(super) location: Identifier,
    pub(super) id: String,
    pub(super) animal: Identifier,
    pub(super) event_date_time: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) responsible: Option<String>,
    pub(super) remark: String,
    #[serde(flatten)]
    pub(super) own: T,
}

/// A place on the animal.
#[derive(Clone, Copy, Debug, Serialize)]
pub(super) struct Position {
    pub(super) position: &'static str,
}

/// What a diagnosis event has of its own.
#[derive(Clone, Debug, Serialize)]
pub(super) struct Diagnosed {
    pub(super) diagnoses: [Diagnosis; 1],
}

/// One diagnosis.
#[derive(Clone, Debug, Serialize)]
#[serde(rename_all = "camelCase")]
pub(super) struct Diagnosis {
    pub(super) id: String,
    pub(super) name: &'static str,
    pub(super) description: String,
    pub(super) diagnosis_code: Identifier,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) site: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) stage: Option<&'static str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) severity: Option<&'static str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) severity_score: Option<u8>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub(super) positions: Vec<Position>,
}

/// What a treatment event has of its own. Medicine, dose, batches and withdrawals are the
/// standard's too and are never written: they come from the label and the veterinarian.
#[derive(Clone, Debug, Serialize)]
pub(super) struct Treated {
    pub(super) procedure: &'static str,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) site: Option<String>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub(super) positions: Vec<Position>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) comment: Option<&'static str>,
}

/// What an attention event has of its own.
#[derive(Clone, Debug, Serialize)]
#[serde(rename_all = "camelCase")]
pub(super) struct Attention {
    pub(super) category: &'static str,
    pub(super) causes: &'static [&'static str],
    pub(super) priority: &'static str,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) device_attention_score: Option<u8>,
}

/// An event of a collection.
#[derive(Clone, Debug, Serialize)]
#[serde(untagged)]
pub(super) enum Member<T> {
    /// As it is said.
    Said(T),
    /// As it was said, and taken back.
    Gone(Value),
}

/// A collection of events.
#[derive(Clone, Debug, Serialize)]
pub(super) struct Collection<T> {
    view: View,
    member: Vec<Member<T>>,
}

#[derive(Clone, Copy, Debug, Serialize)]
#[serde(rename_all = "camelCase")]
struct View {
    total_items: usize,
}

impl<T> Collection<T> {
    /// What is on record, then what no longer is.
    pub(super) fn of(said: Vec<T>, gone: Vec<Value>) -> Self {
        let said = said.into_iter().map(Member::Said);
        let member: Vec<Member<T>> = said.chain(gone.into_iter().map(Member::Gone)).collect();
        Self { view: View { total_items: member.len() }, member }
    }
}

/// The file: three collections, each by the name of its schema.
#[derive(Clone, Debug, Serialize)]
pub(super) struct Events {
    #[serde(rename = "icarDiagnosisEventCollection")]
    pub(super) diagnoses: Collection<Event<Diagnosed>>,
    #[serde(rename = "icarTreatmentEventCollection")]
    pub(super) treatments: Collection<Event<Treated>>,
    #[serde(rename = "icarAttentionEventCollection")]
    pub(super) attention: Collection<Event<Attention>>,
}
