using CaliperStation.Core.Records;
using CaliperStation.Core.Reports;

namespace CaliperStation.Storage;

/// <summary>What an export is to hold.</summary>
/// <param name="Filter">Which records; of CSV also which lines.</param>
/// <param name="Csv">CSV, one take a line; else one sealed record a line.</param>
/// <param name="WithoutInitials">Leave the hands out.</param>
internal sealed record ExportWish(RecordFilter Filter, bool Csv, bool WithoutInitials)
{
    /// <summary>Writes a record's lines if it is wanted.</summary>
    public void Write(SealedRecord seal, Record record, TextWriter output)
    {
        if (!Filter.Wants(RecordSummary.Of(record)))
        {
            return;
        }

        if (Csv)
        {
            RecordExport.WriteCsv(record, Filter, WithoutInitials, output);
        }
        else
        {
            output.Write(RecordExport.JsonLine(seal, WithoutInitials));
        }
    }
}
