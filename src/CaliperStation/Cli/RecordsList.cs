using CaliperStation.Core.Records;
using CaliperStation.Core.Reports;
using CaliperStation.Storage;

namespace CaliperStation.Cli;

/// <summary><c>records list</c>: the records of a store, the oldest first.</summary>
internal static class RecordsList
{
    internal static int Run(RecordsListOptions options, TextWriter output, TextWriter error)
    {
        RecordFilter filter = options.Filter.Read();
        using Store store = StoreLook.Open(options.Store, error);
        IReadOnlyList<RecordSummary> records = [.. store.Records.Summaries(filter)];
        output.Write(options.Json ? RecordTable.Json(records) : RecordTable.Text(records));
        return StoreLook.Result(store);
    }
}
