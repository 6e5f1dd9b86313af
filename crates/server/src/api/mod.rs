//! The interface under `/api/v1`: each module holds the addresses of one subject.

mod air;
mod archive;
mod catalogue;
mod describe;
mod extract;
mod farm;
mod field;
mod fields;
mod heat;
mod library;
mod papers;
mod program;
mod readings;
mod runs;
mod season;
mod session;
mod site_shapes;
mod sites;
mod stream;
mod text;
mod versions;
mod visits;
mod weather;
mod weigh;
mod what_if;

pub use describe::document;
pub use program::unit_table;

use crate::app::App;
use crate::problem::Problem;
use axum::Router;
use axum::extract::DefaultBodyLimit;
use std::sync::Arc;
use utoipa_axum::router::OpenApiRouter;
use utoipa_axum::routes;

/// Largest JSON body, bytes: a site text is a few pages.
pub const LARGEST_JSON: usize = 1 << 20;
/// Largest site text, bytes.
pub const LARGEST_TEXT: usize = 1 << 20;
/// Largest weather file, bytes: thirty years of a wordy hourly format, unpacked.
pub const LARGEST_WEATHER: usize = 64 << 20;

/// Addresses with their descriptions.
fn described() -> OpenApiRouter<Arc<App>> {
    let weather = OpenApiRouter::new()
        .routes(routes!(weather::put, weather::remove))
        .layer(DefaultBodyLimit::max(LARGEST_WEATHER));
    OpenApiRouter::with_openapi(describe::head())
        .routes(routes!(program::program))
        .routes(routes!(program::units))
        .routes(routes!(program::schema))
        .routes(routes!(program::openapi))
        .routes(routes!(session::begin, session::end))
        .routes(routes!(catalogue::crops))
        .routes(routes!(catalogue::catalogue))
        .routes(routes!(weather::list))
        .routes(routes!(library::list))
        .routes(routes!(library::get, library::put, library::remove))
        .routes(routes!(sites::list, sites::create))
        .routes(routes!(sites::get, sites::delete))
        .routes(routes!(sites::deleted))
        .routes(routes!(sites::undelete))
        .routes(routes!(text::get, text::put))
        .routes(routes!(text::change))
        .routes(routes!(fields::list))
        .routes(routes!(versions::undo))
        .routes(routes!(versions::redo))
        .routes(routes!(versions::list))
        .routes(routes!(versions::text))
        .routes(routes!(versions::restore))
        .routes(routes!(sites::duplicate))
        .routes(routes!(sites::rename))
        .routes(routes!(archive::get))
        .routes(routes!(text::check))
        .routes(routes!(air::question))
        .routes(routes!(what_if::answer))
        .routes(routes!(weigh::weigh))
        .routes(routes!(weigh::limit))
        .routes(routes!(weigh::tune))
        .routes(routes!(runs::begin))
        .routes(routes!(runs::get, runs::cancel))
        .routes(routes!(runs::events))
        .routes(routes!(runs::list))
        .routes(routes!(heat::heat))
        .routes(routes!(farm::farm))
        .routes(routes!(farm::farm_years))
        .routes(routes!(field::sheet))
        .routes(routes!(readings::list, readings::add))
        .routes(routes!(readings::withdraw))
        .routes(routes!(visits::list))
        .routes(routes!(field::text))
        .routes(routes!(field::commission_visit))
        .routes(routes!(field::diagnose_visit))
        .routes(routes!(field::accept))
        .routes(routes!(field::outage))
        .routes(routes!(papers::list))
        .routes(routes!(papers::get))
        .routes(routes!(season::season))
        .routes(routes!(season::site_maps))
        .routes(routes!(season::maps))
        .layer(DefaultBodyLimit::max(LARGEST_JSON))
        .merge(weather)
}

/// The router of the interface.
pub fn router() -> Router<Arc<App>> {
    let (router, _) = described().split_for_parts();
    router.method_not_allowed_fallback(|| async {
        Problem::new(axum::http::StatusCode::METHOD_NOT_ALLOWED, "method", "method this address does not know")
    })
}
