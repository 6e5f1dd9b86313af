//! The compiled-in data: complete, with sources, one default a crop.

use crops::Library;

#[test]
fn every_data_file_is_read_without_a_fault() {
    let library = Library::built_in();
    for id in ["corn", "wheat-hard", "rice-long", "soybean", "canola", "sunflower-oil"] {
        let (crop, remark) = library.find(id).expect("a crop of the list");
        assert_eq!(crop.id, id);
        assert!(remark.is_none());
    }
}
