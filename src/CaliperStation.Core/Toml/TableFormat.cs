namespace CaliperStation.Core.Toml;

/// <summary>One key of a table.</summary>
/// <param name="Name">As written.</param>
/// <param name="Required">True when the table means nothing without it.</param>
/// <param name="Example">What a value looks like, for the message about a missing one.</param>
public sealed record KeyFormat(string Name, bool Required, string Example);

/// <summary>One kind of table.</summary>
/// <param name="Name">Its name; empty for the top of the file.</param>
/// <param name="Many">True for <c>[[name]]</c>.</param>
/// <param name="Most">How many entries at most.</param>
/// <param name="Keys">Its keys.</param>
public sealed record TableFormat(string Name, bool Many, int Most, IReadOnlyList<KeyFormat> Keys)
{
    /// <summary>As its header is written.</summary>
    public string Header => Name.Length == 0 ? "the file" : Many ? $"[[{Name}]]" : $"[{Name}]";
}
