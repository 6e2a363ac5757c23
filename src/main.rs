//! The program: everything is in the library; here the command line is handed the page.

fn main() -> std::process::ExitCode {
    birdbath::cli::run(&|port, told| birdbath::web::serve(port, told).map_err(|e| e.to_string()))
}
