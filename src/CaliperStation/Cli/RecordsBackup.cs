using CaliperStation.Core.Quantities;
using CaliperStation.Core.Reports;
using CaliperStation.Files;
using CaliperStation.Storage;

namespace CaliperStation.Cli;

/// <summary>What <c>records backup</c> or <c>records restore</c> was asked.</summary>
/// <param name="Store">Where the store is; null for the usual place.</param>
/// <param name="Folder">The backup's folder.</param>
/// <param name="Json">JSON instead of words.</param>
internal sealed record RecordsBackupOptions(string? Store, string Folder, bool Json);

/// <summary><c>records backup FOLDER</c> and <c>records restore FOLDER</c>: both check the copy and end with 5 when it does not hold.</summary>
internal static class RecordsBackup
{
    internal static int Make(RecordsBackupOptions options, TextWriter output, TextWriter error) =>
        Tell(options, StoreBackup.Make(StoreLook.Paths(options.Store), options.Folder, TimeProvider.System), output, error,
            "The backup is made. It does not hold the station's private key.");

    internal static int Restore(RecordsBackupOptions options, TextWriter output, TextWriter error) =>
        Tell(options, StoreBackup.Restore(options.Folder, StorePaths.OnThisMachine(options.Store), TimeProvider.System), output, error,
            "The backup is restored.");

    private static int Tell(RecordsBackupOptions options, StoreCheck check, TextWriter output, TextWriter error, string done)
    {
        output.Write(options.Json ? CheckText.Json(check.Records, check.Findings) : CheckText.Text(PrintableText.Escape(options.Folder), check.Records, check.Findings));
        if (check.Findings.Count > 0)
        {
            return ExitCode.Store;
        }

        error.WriteLine(done);
        return ExitCode.Good;
    }
}
