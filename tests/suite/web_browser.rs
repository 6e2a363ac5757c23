//! The local page in a browser: files chosen, answers read.

use crate::support::browser::Browser;
use crate::support::site::serve;
use crate::web::counting;
use birdbath::web::read;
use std::sync::Arc;

#[test]
fn a_file_chosen_in_a_browser_is_answered() {
    let site = serve(counting());
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("readings.csv");
    std::fs::write(&path, "x_m,y_m,reading_mm\n0,0,900\n1,0,901\n").unwrap();
    let bad = folder.path().join("worse.csv");
    std::fs::write(&bad, "bad").unwrap();
    let client = Browser::open((390, 844));
    client.goto(&site.url());
    let choose = client.find("#files");
    choose.send_keys(&path.display().to_string());
    client.wait_for("#chosen li");
    client.find("#go").click();
    client.wait_for("#parts p");
    let told = client.find("#parts").text();
    assert!(told.contains("3 rows <b>"), "{told}");
    let wide = "return document.documentElement.scrollWidth - window.innerWidth;";
    let wide = client.execute(wide, vec![]);
    assert!(wide.as_f64().unwrap() <= 0.0, "{wide} px too wide");
    let image =
        "return document.getElementById('map').decode().then(() => 'shown', (e) => String(e));";
    assert_eq!(client.execute(image, vec![]), "shown");
    // A refusal names every fault.
    client.execute("document.querySelector('#chosen button').click();", vec![]);
    let choose = client.find("#files");
    choose.send_keys(&bad.display().to_string());
    client.wait_for("#chosen li");
    client.find("#go").click();
    client.wait_for("#trouble:not([hidden])");
    let told = client.find("#trouble").text();
    assert!(told.contains("C3") && told.contains("C4"), "{told}");
}

// ORACLE: hand, by the columns that docs/formats.md has for an outline: one of them is x, one y, and none a reading.
#[test]
fn an_outline_is_known_by_its_columns() {
    let site = serve(counting());
    let folder = tempfile::tempdir().unwrap();
    let client = Browser::open((390, 844));
    client.goto(&site.url());
    let files = [
        ("x_ft,y_ft\n0,0\n", "outline"),
        ("kind;name;x (m);y (m)\noutline;;0;0\n", "outline"),
        (
            "Lark hall\n\"name\",kind,x_ft,y_ft,clear-width_in,note\n",
            "outline",
        ),
        ("x_ft,y_ft,reading_in\n0,0,38\n", "readings"),
        ("Kitchen\npoint,x_ft,y_ft,down_in\nA,0,0,38\n", "readings"),
        ("ft / in,0,2\n0,38,38\n", "readings"),
    ];
    for (i, (text, _)) in files.iter().enumerate() {
        let path = folder.path().join(format!("f{i}.csv"));
        std::fs::write(&path, text).unwrap();
        let choose = client.find("#files");
        choose.send_keys(&path.display().to_string());
        client.wait_for(&format!("#chosen li:nth-child({})", i + 1));
    }
    let roles = "return [...document.querySelectorAll('#chosen select')].map((s) => s.value);";
    let roles = client.execute(roles, vec![]);
    let expected: Vec<&str> = files.iter().map(|f| f.1).collect();
    assert_eq!(roles, serde_json::json!(expected));
}

#[test]
fn the_demo_readings_are_answered_in_a_browser() {
    let site = serve(Arc::new(read));
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("fixtures/demo/readings.csv");
    let client = Browser::open((1280, 800));
    client.goto(&site.url());
    client.wait_for("#checks input[value='tile-large']");
    let choose = client.find("#files");
    choose.send_keys(&path.display().to_string());
    client.wait_for("#chosen li");
    let tick = "document.querySelector(\"#checks input[value='tile-large']\").click();\
                document.getElementById('gauge').value = '1/8 in';";
    client.execute(tick, vec![]);
    client.find("#go").click();
    client.wait_for("#parts p, #trouble:not([hidden])");
    let told = client.find("#answer").text();
    assert!(
        told.contains("P6") && told.contains("result.json"),
        "{told}"
    );
    // The report opens from the answer and its edge tool lives there too, shut off from this server.
    let href = "return document.querySelector('#open a').href;";
    let href = client.execute(href, vec![]);
    client.goto(href.as_str().unwrap());
    let live = "return [document.documentElement.classList.contains('live'), window.origin];";
    assert_eq!(
        client.execute(live, vec![]),
        serde_json::json!([true, "null"])
    );
}
