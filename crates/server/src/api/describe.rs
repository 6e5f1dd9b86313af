//! The description of the interface: what the handlers say of themselves, and what holds for all of them.

use super::described;
use super::library::TextKind;
use super::papers::SheetSize;
use super::stream::{End, StepJson};
use crate::maps::{MapHeader, MapQuantity};
use crate::problem::Problem;
use crate::runs::Progress;
use crate::views::{BinAirView, RiskView, SeasonView, YearView};
use contract::Document;
use contract::heat::HeatSiteJson;
use contract::limit::LimitJson;
use contract::proof::ModelRangeJson;
use contract::race::{SortedJson, StandsJson};
use contract::survey::SurveyJson;
use contract::tune::TuneJson;
use contract::weigh::WeighJson;
use notice::{Quantity, UnitSystem};
use utoipa::OpenApi as _;
use utoipa::openapi::path::{Operation, ParameterIn, PathItem};
use utoipa::openapi::{Content, OpenApi, Ref, RefOr, Response};

#[derive(utoipa::OpenApi)]
#[openapi(
    info(
        title = "Binwright workbench",
        description = "SI throughout, the unit in the key; fractions 0 to 1; instants ISO 8601. Writes to a site carry \
                       If-Match with the ETag last seen.",
        license(name = "MIT OR Apache-2.0")
    ),
    // Beside what addresses name: events of streams, the header of maps, and what hides in flattened or nested shapes.
    components(schemas(
        Problem,
        Quantity,
        TextKind,
        SheetSize,
        UnitSystem,
        SurveyJson,
        Document<SurveyJson>,
        Document<BinAirView>,
        Document<HeatSiteJson>,
        YearView,
        Document<RiskView>,
        Document<SeasonView>,
        ModelRangeJson,
        SortedJson,
        StandsJson,
        WeighJson,
        Document<WeighJson>,
        LimitJson,
        Document<LimitJson>,
        TuneJson,
        Document<TuneJson>,
        StepJson,
        End,
        Progress,
        MapQuantity,
        MapHeader
    ))
)]
struct Head;

/// Title and shared shapes.
pub(super) fn head() -> OpenApi {
    Head::openapi()
}

/// The whole description.
pub fn document() -> OpenApi {
    let mut document = described().split_for_parts().1;
    // The version of the interface, not of the program: it changes only with the interface.
    document.info.version = "1".into();
    for item in document.paths.paths.values_mut() {
        for (writes, operation) in operations(item) {
            // Names of handlers are not unique among modules; method and path are.
            operation.operation_id = None;
            refusals(operation, writes);
        }
    }
    document
}

fn operations(item: &mut PathItem) -> Vec<(bool, &mut Operation)> {
    let reads = [&mut item.get].into_iter().flatten().map(|o| (false, o));
    let writes = [&mut item.put, &mut item.post, &mut item.delete].into_iter().flatten().map(|o| (true, o));
    reads.chain(writes).collect()
}

/// Adds the refusals that any such operation can meet.
fn refusals(operation: &mut Operation, writes: bool) {
    let parameters = operation.parameters.iter().flatten().filter_map(|p| match p {
        RefOr::T(parameter) => Some(parameter),
        RefOr::Ref(_) => None,
    });
    let parameters: Vec<_> = parameters.map(|p| (p.parameter_in.clone(), p.name.clone())).collect();
    let in_path = parameters.iter().any(|(place, _)| *place == ParameterIn::Path);
    let precondition = parameters.iter().any(|(_, name)| name == "If-Match");
    let body = operation.request_body.is_some();
    let mut add = |status: &str, says: &str| {
        let mut response = Response::new(says);
        let problem = Content::new(Some(RefOr::Ref(Ref::from_schema_name("Problem"))));
        response.content.insert("application/problem+json".into(), RefOr::T(problem));
        operation.responses.responses.entry(status.into()).or_insert(RefOr::T(response));
    };
    add("400", "a request that makes no sense");
    add("401", "the password is needed");
    add("403", "asked by another page");
    add("421", "sent to a name this server does not answer to");
    add("503", "the store is busy, or too much is under way");
    if in_path {
        add("404", "not there");
    }
    if body {
        add("408", "a body that was not whole in time");
        add("413", "too large");
        add("415", "not the kind of content that is taken here");
        add("422", "a content that cannot be used, with all that is wrong");
    }
    if precondition {
        add("412", "changed meanwhile; `current` and the ETag say where it stands");
        add("428", "If-Match is missing");
    }
    if writes {
        add("507", "no room to write");
    }
}
