using CaliperStation.Core.Quantities;
using CaliperStation.Core.Records;
using CaliperStation.Core.Reports;
using CaliperStation.Files;

namespace CaliperStation.Cli;

/// <summary>The list of blouses a person gave as a file.</summary>
internal static class TagFile
{
    /// <summary>Its tags, each once, in the order of the file.</summary>
    /// <exception cref="StationException">Exit 3: it cannot be read, holds no tag, or every line of it that is wrong, with what to write instead.</exception>
    internal static IReadOnlyList<string> Read(string path)
    {
        string text = GivenFile.ReadText(path);
        TagList list = TagList.Read(text);
        return list.Faults.Count > 0 ? throw new StationException(ExitCode.BadFile, FaultText.All(path, text, list.Faults))
            : list.Tags.Count > 0 ? list.Tags
            : throw new StationException(ExitCode.BadFile, $"{PrintableText.Escape(path)}: there is no tag in it; write one a line.");
    }
}
